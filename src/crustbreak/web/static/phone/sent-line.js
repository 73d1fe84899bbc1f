// Who sits here, and how far what was said has come.

import { make } from "../shared/dom.js";
import { ActionElement } from "../shared/action-element.js";

const WHERE = { stranger: "lab refuses" };

class SentLine extends ActionElement {
  drawn({ taster, counts, trouble, isRefused }) {
    const isAway = trouble === "away";
    const why = make("button", { type: "button", "data-do": "why" }, "lab away");
    const inLab = isAway ? why : (WHERE[trouble] ?? `${counts.lab} in the lab`);
    return [
      make("b", null, taster),
      make(
        "span",
        { class: "sent" },
        device("dev", inLab),
        counts.phone > 0 &&
          device("dev wait", isRefused ? `${counts.phone} not kept` : `${counts.phone} on this phone`),
      ),
    ];
  }

  why() {
    this.tell("why");
  }
}

function device(name, text) {
  return make("span", null, make("i", { class: name }), text);
}

customElements.define("sent-line", SentLine);
