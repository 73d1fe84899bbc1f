// Before handing in: every line that is still open, by code, and the way to it.

import { key, make } from "../shared/dom.js";
import { ActionElement } from "../shared/action-element.js";
import { listed } from "./open-lines.js";
import { openSteps, stepsOf } from "./steps.js";
import { CAFFEINE, isPoured, OWN_SPOON } from "./wording.js";

const FOR_GOOD = "Once handed in, the sheet stays as it is.";
const NOT_YET = "Not poured yet: a sheet is handed in after the first pour.";

class HandIn extends ActionElement {
  // model: the session.
  drawn({ sheet, told, state }) {
    document.title = "Hand in · Crustbreak";
    this.open = openSteps(stepsOf(sheet.sheet, sheet.places), told.marks);
    const isAll = this.open.length === 0;
    const open = listed(this.open).map(([said, index]) =>
      make("li", null, key("go", `Open: ${said}`, { "data-index": index })),
    );
    return [
      make("h1", { class: "say", tabindex: -1 }, howMany(this.open.length)),
      make("p", null, isPoured(state) ? FOR_GOOD : NOT_YET),
      isPoured(state) && handInKey(isAll),
      isAll || make("ul", { class: "open" }, open),
      make("p", { class: "quiet small" }, `${OWN_SPOON} ${CAFFEINE}`),
      make("div", { class: "move one" }, key("toSheet", "Back to the sheet", { class: "key on" })),
    ];
  }

  handIn() {
    this.tell("hand-in");
  }

  toSheet() {
    this.tell("look", "sheet");
  }

  go({ index }) {
    this.tell("go-step", this.open[Number(index)]);
  }
}

function handInKey(isAll) {
  return isAll
    ? key("handIn", "Hand in", { class: "key tall go" })
    : key("handIn", "Hand in all the same", { class: "key tall" });
}

function howMany(count) {
  if (count === 0) return "All lines are marked.";
  return count === 1 ? "1 line is open." : `${count} lines are open.`;
}

customElements.define("hand-in", HandIn);
