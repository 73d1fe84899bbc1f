// <rehearsal-table> plays a table through: the helper's own page, fed with a clock that can run
// faster. Nothing is sent and nothing is kept; a new start forgets all.

import { key, make } from "./dom.js";
import { loadCss } from "./lazy-css.js";
import { rehearsalState } from "./rehearsal-state.js";

loadCss("shared/rehearsal");

const SPEEDS = [1, 10, 30];
const TICK_MS = 250;

class RehearsalTable extends HTMLElement {
  plan = null;
  page = null;
  speeds = null;
  #taps = [];
  // Rehearsed seconds since the start, as of a moment of the page's stopwatch.
  #clock = { s: 0, from: performance.now() };
  #speed = 1;

  connectedCallback() {
    this.plan ??= JSON.parse(this.dataset.plan);
    this.page ??= make("help-page", { "data-inner": true });
    this.speeds ??= make("div", { class: "speeds", role: "group", "aria-label": "How fast the clock runs" });
    if (!this.contains(this.page)) this.replaceChildren(this.#banner(), this.page);
    this.addEventListener("tap", (event) => this.#tap(event));
    this.timer = setInterval(() => this.#show(), TICK_MS);
    this.#speeds();
    this.#show();
  }

  disconnectedCallback() {
    clearInterval(this.timer);
  }

  #banner() {
    const again = key("again", "Start again");
    again.addEventListener("click", () => this.#again());
    return make(
      "div",
      { class: "rehearsal" },
      make("p", { class: "say" }, "Rehearsal: nothing is kept."),
      make("p", null, "The keys, the picture and the cues are those of the table. Play with cold bowls, or none."),
      make("div", { class: "speeds-row" }, this.speeds, again),
    );
  }

  get #now() {
    return this.#clock.s + ((performance.now() - this.#clock.from) / 1000) * this.#speed;
  }

  #run(speed) {
    this.#clock = { s: this.#now, from: performance.now() };
    this.#speed = speed;
    this.#speeds();
  }

  #again() {
    this.#taps = [];
    this.#clock = { s: 0, from: performance.now() };
    this.#show();
  }

  #speeds() {
    this.speeds.replaceChildren(
      ...SPEEDS.map((speed) => {
        const each = key("speed", `\u00d7${speed}`, { "aria-pressed": String(speed === this.#speed) });
        each.addEventListener("click", () => {
          this.#run(speed);
          this.speeds.querySelector("[aria-pressed=true]").focus();
        });
        return each;
      }),
    );
  }

  // The helper's page says what was tapped; here it goes no further.
  #tap(event) {
    event.stopPropagation();
    const { detail } = event;
    if (detail.kind === "poured") this.#clock = { s: 0, from: performance.now() };
    const no = this.#taps.length + 1;
    this.#taps.push({ value: null, place: null, cup: null, ...detail, at: this.#now, name: `0.${no}` });
    this.#show();
  }

  #show() {
    const state = rehearsalState(this.plan, this.#taps, this.#now);
    const outbox = { entries: [], counts: { storing: 0, phone: 0 } };
    this.page.show({ sheet: this.plan, state, stateNow: state, outbox });
  }
}

customElements.define("rehearsal-table", RehearsalTable);
