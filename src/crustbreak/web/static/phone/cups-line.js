// A large picture of one coffee's bowls: touch the one that differs.

import { allAlike, saidOf, touchBowl } from "./bowl-words.js";
import { bowl, make } from "../shared/dom.js";
import { ActionElement } from "../shared/action-element.js";

class CupsLine extends ActionElement {
  drawn({ line, place, said }) {
    const label = `Bowls of ${place.code}: touch the one that differs`;
    const cups = said.map((word, index) => this.#cup(word, index + 1, line, place));
    return [
      line.all_alike && this.#alike(line, said),
      make("div", { class: "bowls", role: "group", "aria-label": label }, cups),
    ];
  }

  touch({ cup }) {
    this.tell("say", touchBowl(this.model.said, Number(cup), this.model.line.options));
  }

  alike() {
    this.tell("say", allAlike(this.model.said, this.model.line.options));
  }

  #alike(line, said) {
    const isOn = said.every((word) => word === line.options[0].id);
    const attributes = {
      type: "button",
      class: isOn ? "key all on" : "key all",
      "data-do": "alike",
      "aria-pressed": String(isOn),
    };
    // One bowl alone is not all of them: it has its own word.
    return make("button", attributes, said.length > 1 ? line.all_alike : capital(line.options[0].said));
  }

  // Only what differs gets its word under the bowl.
  #cup(word, cup, line, place) {
    const state = word === null ? "unsaid" : word === line.options[0].id ? "usual" : "flagged";
    const text = word === null ? "nothing said" : saidOf(word, line);
    const attributes = {
      type: "button",
      class: `cup ${state}`,
      "data-do": "touch",
      "data-cup": cup,
      "aria-label": `Bowl ${cup} of ${place.code}: ${text}`,
    };
    return make(
      "button",
      attributes,
      bowl(state === "usual" ? "skimmed" : "empty", state === "flagged"),
      make("b", null, String(cup)),
      make("small", null, state === "flagged" ? text : "\u00a0"),
    );
  }
}

function capital(words) {
  return words.charAt(0).toUpperCase() + words.slice(1);
}

customElements.define("cups-line", CupsLine);
