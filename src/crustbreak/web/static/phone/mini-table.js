// The table, small: each place with its bowls as they are, and the way to get there.

import { bowl, make } from "./drawing.js";
import { KeyedElement } from "./keyed-element.js";
import { flaggedCups } from "./marks.js";
import { countDone, inRound } from "./steps.js";

const DRAWN = { empty: "empty", dosed: "bare", poured: "crust", broken: "broken" };

class MiniTable extends KeyedElement {
  drawn(model) {
    const label = "The table: touch a coffee to go there";
    const columns = model.places.map((place) => this.#column(place, model));
    return make("div", { class: "mini", role: "group", "aria-label": label }, columns);
  }

  go({ place }) {
    this.tell("go-place", place);
  }

  #column(place, { steps, at, told, lines, state }) {
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
    );
  }

  #bowls(place, lines, told, state) {
    const flagged = flaggedCups(place, lines, told.marks);
    return Array.from({ length: place.cups }, (_, index) =>
      bowl(DRAWN[state.cups?.[place.id]?.[index]] ?? "empty", flagged.has(index + 1)),
    );
  }
}

customElements.define("mini-table", MiniTable);
