// The table, small: each place with its bowls as they are, and the way to get there.

import { bowl, make } from "../shared/dom.js";
import { ActionElement } from "../shared/action-element.js";
import { flaggedCups, whereIs } from "../shared/marks.js";
import { countDone, inRound } from "./steps.js";

const ABREAST = 6;
const DRAWN = { empty: "empty", dosed: "bare", poured: "crust", broken: "broken", skimmed: "skimmed", spilt: "spilt" };

class MiniTable extends ActionElement {
  drawn(model) {
    const label = "The table: touch a coffee to go there";
    const { places, open = [] } = model;
    const columns = places.map((place) => this.#column(place, model));
    const rows = rowsOf(places.length);
    const across = rows > 1 ? ` rows across-${Math.ceil(columns.length / rows)}` : open.length > 0 ? " rows" : "";
    const table = make("div", { class: `mini${across}`, role: "group", "aria-label": label }, columns);
    if (open.length === 0) return table;
    return make(
      "div",
      { class: "beside" },
      open.map((place) => this.#open(place, model)),
      table,
    );
  }

  // What stands open is held against, and leads nowhere.
  #open(place, { lines, told, state }) {
    return make("p", null, this.#bowls(place, lines, told, state), make("b", null, place.code));
  }

  go({ place }) {
    this.tell("go-place", place);
  }

  #column(place, { steps, at, told, lines, state, entries }) {
    const here = inRound(steps, at.round.id).filter((step) => step.place === place);
    const { done, all } = countDone(here, told.marks);
    const isHere = place === at.place;
    const attributes = { type: "button", "data-do": "go", "data-place": place.id };
    attributes.class = [isHere && "here", done === all && "done"].filter(Boolean).join(" ");
    attributes["aria-current"] = isHere && "true";
    return make(
      "button",
      attributes,
      make("span", { class: "stack" }, this.#bowls(place, lines, told, state)),
      make("b", null, place.code),
      make("small", null, done === all ? "done" : done > 0 ? `${done} of ${all}` : "\u00a0"),
      make("small", { class: "where" }, where(whereIs(entries, place.id))),
    );
  }

  #bowls(place, lines, told, state) {
    const flagged = flaggedCups(place, lines, told.marks);
    return Array.from({ length: place.cups }, (_, index) =>
      bowl(DRAWN[state.cups?.[place.id]?.[index]] ?? "empty", flagged.has(index + 1)),
    );
  }
}

// More than six side by side are too narrow for a thumb.
function rowsOf(count) {
  return Math.max(1, Math.ceil(count / ABREAST));
}

// The line is always there, so that no key moves when a mark leaves for the lab.
function where({ phone, all }) {
  if (all === 0) return ["\u00a0"];
  const device = make("i", { class: phone > 0 ? "dev wait" : "dev" });
  if (phone === 0) return [device, "in lab"];
  return [device, `${phone} here`, make("span", { class: "off" }, ", on this phone")];
}

customElements.define("mini-table", MiniTable);
