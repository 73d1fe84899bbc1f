// One line at a time. The small table, the rounds and Back and Next are the ways to move, and
// nothing is locked: every line can be reached again until the sheet is handed in.

import { allAlike, takeBack, touchBowl } from "./bowl-words.js";
import { draw, make } from "../shared/dom.js";
import { ActionElement } from "../shared/action-element.js";
import { cellsOf, valuesOf } from "../shared/marks.js";
import { saveDraft, readDraft } from "./drafts.js";
import * as points from "./scale-points.js";
import * as around from "./sheet-drawing.js";
import * as way from "./steps.js";
import { stepTitle } from "./wording.js";
import "./cups-line.js";
import "./mini-table.js";
import "./note-lines.js";
import "./scale-line.js";

const SETTLING_MS = 350;

class PhoneSheet extends ActionElement {
  // Made once and kept in place: a key or a field must not leave the page while it is in use.
  #section = make("section", { class: "step" });
  #table = make("mini-table");
  #scale = make("scale-line");
  #cups = make("cups-line");
  #notes = make("note-lines");
  #choices = make("choice-lines");
  #isNoting = false;
  #index = null;
  #settled = 0;
  #typed = "";

  constructor() {
    super();
    this.addEventListener("go-place", ({ detail }) => this.#goPlace(detail));
    this.addEventListener("say", ({ detail }) => this.#say(detail));
  }

  connectedCallback() {
    document.addEventListener("keydown", this.#pressed);
  }

  disconnectedCallback() {
    document.removeEventListener("keydown", this.#pressed);
  }

  get #marks() {
    return this.model.told.marks;
  }

  get #step() {
    return this.#steps[this.#index];
  }

  // Made anew when the lab has sent the sheet again, in the same order: a walk never changes.
  get #steps() {
    const { sheet } = this.model;
    if (this.sheet !== sheet) this.steps = way.stepsOf(sheet.sheet, sheet.places, sheet.seat?.walk);
    this.sheet = sheet;
    return this.steps;
  }

  // model: the session.
  drawn(model) {
    const { seat, sheet, stateNow: state, told, outbox, checkSaid } = model;
    const { places, open = [], sheet: definition } = sheet;
    this.#index ??= this.#startAt(seat, told);
    const at = this.#step;
    const choices = definition.lines.filter(({ beside }) => beside === at.line.id);
    document.title = `${stepTitle(at)} · Crustbreak`;
    this.#table.show({
      places,
      open,
      steps: this.#steps,
      at,
      told,
      lines: definition.lines,
      state,
      entries: outbox.entries,
    });
    this.#drawStep(at, model, choices);
    this.classList.toggle("wordy", choices.length > 0);
    return [
      this.#table,
      around.ways(definition.rounds, at),
      around.progress(at, { steps: this.#steps, marks: told.marks, state, checkSaid, open }),
      make("div", { class: "slack" }),
      this.#section,
      around.move(at, { isFirst: this.#index === 0, next: this.#steps[this.#index + 1], isSettling: this.#isSettling }),
      around.byKeyboard(at, choices),
    ];
  }

  // Down at once: whatever takes the sheet away for a moment gives the same line back.
  #startAt({ key }, { marks }) {
    const index = way.startAt(this.#steps, readDraft(`step ${key}`), marks);
    saveDraft(`step ${key}`, String(index));
    return index;
  }

  #drawStep(at, { seat, sheet, told }, choices) {
    const { line, place, round } = at;
    const said = valuesOf(at, told.marks);
    const hooks = { line: line.id, place: place.id, code: place.code, round: round.id };
    Object.assign(this.#section.dataset, hooks);
    const notes = sheet.sheet.lines.filter((each) => each.kind === "words" && (!each.round || each.round === round.id));
    this.#notes.show({ table: seat.key, place, round, lines: notes, marks: told.marks });
    if (line.kind === "cups") this.#cups.show({ line, place, said });
    else this.#scale.show({ line, value: said[0] });
    if (choices.length > 0) this.#choices.show({ at, choices, marks: told.marks });
    draw(
      this.#section,
      around.ask(at, said, sheet.open),
      this.#isNoting ? this.#notes : line.kind === "cups" ? this.#cups : this.#scale,
      !this.#isNoting && choices.length > 0 && this.#choices,
      this.#isNoting ? around.closing() : around.tools(at, said, { notes, marks: told.marks }),
    );
  }

  // The key that has just led on means another step now: a second touch is most often a slip.
  get #isSettling() {
    return performance.now() < this.#settled;
  }

  back() {
    if (this.#isSettling) return;
    this.#go(Math.max(0, this.#index - 1));
  }

  next() {
    if (this.#isSettling) return;
    if (this.#index + 1 < this.#steps.length) this.#go(this.#index + 1);
    else this.handIn();
  }

  goRound({ roundKey }) {
    this.#go(way.atRound(this.#steps, roundKey, this.#marks));
  }

  // From the page that names what is open.
  goStep({ line, place }) {
    const isIt = (step) => step.line.id === line.id && step.place.id === place.id;
    this.#go(this.#steps.findIndex(isIt));
  }

  handIn() {
    this.#close();
    this.tell("look", "hand in");
  }

  note() {
    this.#isNoting = !this.#isNoting;
    this.#notes.flush();
    this.show(this.model);
    if (this.#isNoting) this.#notes.querySelector("textarea").focus();
    else /** @type {HTMLElement} */ (this.querySelector("[data-do=note]")).focus();
  }

  takeBack() {
    this.#say(takeBack(valuesOf(this.#step, this.#marks)));
  }

  apart({ point }) {
    const [value] = valuesOf(this.#step, this.#marks);
    this.#say([{ cup: 1, value: points.pressWhole(value, Number(point), this.#step.line) }]);
  }

  #goPlace(placeId) {
    this.#go(way.atPlace(this.#steps, this.#step, placeId, this.#marks));
  }

  #go(index) {
    this.#close();
    this.#index = index;
    this.#typed = "";
    this.#settled = performance.now() + SETTLING_MS;
    setTimeout(() => this.isConnected && this.show(this.model), SETTLING_MS + 5);
    saveDraft(`step ${this.model.seat.key}`, String(index));
    this.show(this.model);
  }

  #close() {
    this.#notes.flush();
    this.#isNoting = false;
  }

  // A scale has one cell, as a place with one bowl would.
  #say(changes) {
    const cells = cellsOf(this.#step);
    this.tell("mark", { cells: changes.map(({ cup, value }) => ({ ...cells[cup - 1], value })) });
  }

  // Digits mark, arrows go back and on; Enter goes on too, unless it presses the key that has the
  // focus.
  #pressed = (event) => {
    const isElsewhere = event.ctrlKey || event.metaKey || event.altKey || event.repeat;
    if (isElsewhere || event.target.matches?.("textarea, input")) return;
    if (/^[\d.,]$/.test(event.key) && !this.#isNoting) this.#type(event.key);
    if (event.key === "ArrowLeft") this.back();
    const isOn = event.key === "Enter" && !event.target.closest?.("button");
    if (!isOn && event.key !== "ArrowRight") return;
    event.preventDefault();
    this.next();
  };

  // What was typed is said by no key of the page, so that none keeps the focus.
  #type(key) {
    const { line, place } = this.#step;
    const said = valuesOf(this.#step, this.#marks);
    /** @type {HTMLElement} */ (document.activeElement)?.blur();
    if (line.kind === "scale") return this.#typePoint(key, said[0], line);
    if (key === "0") this.#say(allAlike(said, line.options));
    else if (Number(key) <= place.cups) this.#say(touchBowl(said, Number(key), line.options));
  }

  #typePoint(key, before, line) {
    const { value, typed } = points.typePoint(key, this.#typed, before, line);
    this.#typed = typed;
    if (value !== before) this.#say([{ cup: 1, value }]);
  }
}

customElements.define("phone-sheet", PhoneSheet);
