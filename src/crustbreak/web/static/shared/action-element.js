// What all elements of the page share: a key says in `data-do` which method it means, and an
// element says what happened by an event, so that it need not know who listens.

import { draw } from "./dom.js";

export class ActionElement extends HTMLElement {
  model = null;

  constructor() {
    super();
    this.addEventListener("click", (event) => {
      const key = /** @type {HTMLButtonElement} */ (/** @type {Element} */ (event.target).closest("[data-do]"));
      if (!key || key.disabled || key.closest(this.localName) !== this) return;
      const act = key.dataset.do;
      if (typeof this[act] !== "function") return;
      event.stopPropagation();
      this[act](key.dataset);
    });
  }

  // Children of an element that is being redrawn draw themselves once they are in the page.
  connectedCallback() {
    if (this.model) this.show(this.model);
  }

  // What it is made of.
  drawn(_model) {
    return [];
  }

  show(model) {
    this.model = model;
    draw(this, ...[this.drawn(model)].flat());
  }

  // False when whoever listens takes over from here.
  tell(type, detail) {
    return this.dispatchEvent(new CustomEvent(type, { detail, bubbles: true, cancelable: true }));
  }
}
