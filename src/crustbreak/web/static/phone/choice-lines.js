// Beside a scale: one word of several for each line that asks so. The keys rest while the scale
// says that there is nothing to tell, and stay where they are.

import { isAsked, lettersOf, parted } from "./choices.js";
import { loadCss } from "../shared/lazy-css.js";
import { make } from "../shared/dom.js";
import { ActionElement } from "../shared/action-element.js";
import { cellsOf, valuesOf } from "../shared/marks.js";
import { columns } from "./scale-points.js";

await loadCss("phone/choice-lines");

class ChoiceLines extends ActionElement {
  connectedCallback() {
    super.connectedCallback();
    document.addEventListener("keydown", this.#pressed);
  }

  disconnectedCallback() {
    document.removeEventListener("keydown", this.#pressed);
  }

  // model: the step of the scale, the choices beside it, what was said.
  drawn({ at, choices, marks }) {
    const isIdle = !isAsked(at, marks);
    const letters = lettersOf(choices);
    return choices.map((line) => {
      const [said] = valuesOf({ ...at, line }, marks);
      const keys = line.options.map((option) =>
        word(option, { line, letter: letters.get(option), isOn: !isIdle && option.id === said, isIdle }),
      );
      return make(
        "div",
        { class: "choice", role: "group", "aria-labelledby": `choice-${line.id}` },
        make("p", { id: `choice-${line.id}` }, line.title),
        make("div", { class: `keys by-${columns(keys.length)}` }, keys),
      );
    });
  }

  // A touch on the word that was chosen takes it back.
  choose({ line, word: chosen }) {
    const { at, choices, marks } = this.model;
    const step = { ...at, line: choices.find(({ id }) => id === line) };
    const value = valuesOf(step, marks)[0] === chosen ? null : chosen;
    this.tell("mark", { cells: [{ ...cellsOf(step)[0], value }] });
  }

  #pressed = ({ key, target, ctrlKey, metaKey, altKey, repeat }) => {
    if (ctrlKey || metaKey || altKey || repeat || target.matches?.("textarea, input")) return;
    const shortcut = CSS.escape(key.toLowerCase());
    const wanted = this.querySelector(`[aria-keyshortcuts="${shortcut}"]`);
    /** @type {HTMLElement} */ (wanted)?.click();
  };
}

function word({ id, said }, { line, letter, isOn, isIdle }) {
  const [before, sign, after] = parted(said, letter);
  return make(
    "button",
    {
      type: "button",
      class: isOn ? "key on" : "key",
      "data-do": "choose",
      "data-line": line.id,
      "data-word": id,
      "aria-pressed": String(isOn),
      "aria-keyshortcuts": letter,
      disabled: isIdle,
    },
    make("span", null, before, make("u", null, sign), after),
  );
}

customElements.define("choice-lines", ChoiceLines);
