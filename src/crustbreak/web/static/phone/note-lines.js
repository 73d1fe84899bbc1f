// Notes on one place in one round. What is typed is jotted down at every key, and becomes an
// entry 0.8 s after the last one, when the field is left, and when the page goes away.

import { make } from "../shared/dom.js";
import { cellOf } from "../shared/marks.js";
import { saveDraft, removeDraft } from "./drafts.js";

const PAUSE_MS = 800;
const LENGTH = 4000;

class NoteLines extends HTMLElement {
  #timers = new Map();

  constructor() {
    super();
    this.addEventListener("input", (event) => this.#typed(event.target));
    this.addEventListener("focusout", (event) => this.#store(event.target));
  }

  connectedCallback() {
    addEventListener("pagehide", this.flush);
    document.addEventListener("visibilitychange", this.flush);
  }

  disconnectedCallback() {
    removeEventListener("pagehide", this.flush);
    document.removeEventListener("visibilitychange", this.flush);
  }

  // A field is made anew only for another place or round: never under the person's fingers.
  show(model) {
    const about = `${model.place.id} ${model.round.id}`;
    this.model = model;
    if (about === this.about) return this.#refresh();
    this.flush();
    this.about = about;
    this.replaceChildren(...model.lines.map((line) => this.#field(line)));
  }

  // The lab may still bring what was noted before a reload.
  #refresh() {
    for (const field of this.querySelectorAll("textarea")) {
      if (field === document.activeElement || this.#timers.has(field)) continue;
      field.value = this.model.marks.get(cellOf(field.cell)) ?? "";
    }
  }

  flush = () => [...this.#timers.keys()].forEach((field) => this.#store(field));

  #field(line) {
    const { table, place, round, marks } = this.model;
    const cell = { place: place.id, cup: null, line: line.id, round: round.id };
    const field = make("textarea", { rows: 6, maxlength: LENGTH, enterkeyhint: "enter" });
    field.cell = cell;
    field.draft = `note ${table} ${place.id} ${line.id} ${round.id}`;
    field.value = marks.get(cellOf(cell)) ?? "";
    const title = `${line.title} on ${place.code}, ${round.title.toLowerCase()} round`;
    return make("label", { class: "note" }, title, field);
  }

  #typed(field) {
    saveDraft(field.draft, field.value);
    clearTimeout(this.#timers.get(field));
    this.#timers.set(
      field,
      setTimeout(() => this.#store(field), PAUSE_MS),
    );
  }

  #store(field) {
    if (!this.#timers.has(field)) return;
    clearTimeout(this.#timers.get(field));
    this.#timers.delete(field);
    const text = field.value;
    // The draft goes once the entry is down, unless more was typed meanwhile.
    const done = () => field.value === text && !this.#timers.has(field) && removeDraft(field.draft);
    const detail = { cells: [{ ...field.cell, value: text.trim() === "" ? null : text }], done };
    this.dispatchEvent(new CustomEvent("mark", { detail, bubbles: true }));
  }
}

customElements.define("note-lines", NoteLines);
