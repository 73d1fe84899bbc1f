// The page of a helper at the table: the picture, the clock, and one large key for what is next.
// Fetched only on a device that helps: a taster's phone never pays for it.

import { loadCss } from "./lazy-css.js";
import { key, make } from "./dom.js";
import { bowlPanel, factsNow, factsOf, readFigure } from "./help-bowl.js";
import { cupsNow, picture, tableClass } from "./help-picture.js";
import { ActionElement } from "./action-element.js";
import { CUES, announce, isOn, sayKey, turn } from "./cue-keys.js";
import { actsOf, cueAt, sayCue } from "./table-cues.js";
import { canTap, lastAside, sinceTapS, span } from "./helper-taps.js";

const TAPS = { poured: "First pour", broken: "First break", skimmed: "All skimmed" };
const TICK_MS = 250;
// The key that was tapped means the next thing now: a second touch so soon is a slip.
const SLIP_MS = 1500;
const HOT = "Hot water. One person pours, when the lane is clear.";

await loadCss("shared/help-page");

class HelpPage extends ActionElement {
  #clock = make("b", { class: "since" });
  #cue = null;
  #due = null;
  #small = make("span");
  #large = make("span");
  // The bowl that was touched: its place's id and its number.
  #at = null;
  // A rehearsal in progress on this device: it knows nothing of the lab, and the lab nothing of it.
  #rehearsal = null;

  connectedCallback() {
    super.connectedCallback();
    this.ticking = setInterval(() => this.#tick(), TICK_MS);
  }

  disconnectedCallback() {
    clearInterval(this.ticking);
  }

  // model: the session.
  drawn(model) {
    const { sheet, state, outbox } = model;
    document.title = "At the table · Crustbreak";
    if (this.#rehearsal) return [key("stopRehearsal", "Back to the table"), this.#rehearsal];
    const can = canTap(state.can, outbox.entries);
    const next = can.find((each) => TAPS[each]);
    const since = this.#since(model);
    const facts = factsNow(state.facts, outbox.entries);
    const undo = can.find((each) => each.startsWith("undo "))?.slice("undo ".length);
    this.#cue = { next, can, acts: state.run && actsOf(state.run.clocks, state.run.rounds) };
    this.#tick();
    return [
      make(
        "div",
        { class: "now" },
        make("h1", { class: "say", tabindex: -1 }, this.#large),
        make("p", { class: "then" }, this.#small),
        make("p", { class: "clock" }, this.#clock),
      ),
      make(
        "section",
        { class: tableClass(sheet.places), "aria-label": "The table from above" },
        picture({ sheet, state, cups: cupsNow(model, can, since) }, facts, {
          next: state.flight === "set" && next,
          due: this.#due,
        }),
      ),
      this.#panel(model, facts),
      make(
        "div",
        { class: "taps" },
        make("p", null, make("span", { class: "hot" }, HOT)),
        make("p", { class: "waits", role: "status" }, waiting(outbox)),
        next &&
          key("tap", next === "skimmed" ? TAPS[next] : `${TAPS[next]}, now`, { class: "key go", "data-kind": next }),
        make(
          "div",
          { class: "low" },
          undo
            ? key("undo", `Undo ${TAPS[undo].toLowerCase()}`, { class: "key", "data-kind": undo })
            : make("p", { class: "room" }),
          make("div", { class: "cues" }, CUES.map(cueKey), this.#mayRehearse && key("rehearse", "Rehearse")),
        ),
      ),
    ];
  }

  get #mayRehearse() {
    const { flight, run } = this.model.state;
    return !this.hasAttribute("data-inner") && run && ["planned", "set"].includes(flight);
  }

  rehearse() {
    this.tell("rehearse");
  }

  startRehearsal() {
    const { sheet, state } = this.model;
    this.#rehearsal = make("rehearsal-table");
    this.#rehearsal.plan = { ...sheet, run: state.run };
    this.show(this.model);
  }

  stopRehearsal() {
    this.#rehearsal = null;
    this.show(this.model);
  }

  cue({ name }) {
    turn(name);
    this.show(this.model);
  }

  tap({ kind }) {
    this.#say({ kind });
  }

  undo({ kind }) {
    this.#say({ kind: "undone", value: kind });
  }

  touch({ place, cup }) {
    this.#at = { place, cup: Number(cup) };
    this.show(this.model);
    this.querySelector("#bowl")?.scrollIntoView({ block: "nearest" });
    const heading = /** @type {HTMLElement} */ (this.querySelector("#bowl-title"));
    heading?.focus({ preventScroll: true });
  }

  close() {
    this.#at = null;
    this.show(this.model);
  }

  note({ kind }) {
    this.#say({ kind, ...this.#at });
  }

  weigh({ kind, field }) {
    const input = /** @type {HTMLInputElement} */ (this.querySelector(`#${field}`));
    const value = readFigure(input.value);
    input.toggleAttribute("aria-invalid", value === null);
    // Whatever is typed stays where it is until it is a number.
    if (value === null) return input.focus();
    input.value = "";
    this.#say({ kind, value, ...this.#at });
  }

  unnote({ name }) {
    this.#say({ kind: "bowl undone", value: name, ...this.#at });
  }

  #panel({ sheet, state }, facts) {
    const place = state.may_note && this.#at && sheet.places.find(({ id }) => id === this.#at.place);
    if (!place) return null;
    const { cup } = this.#at;
    const clock = state.run?.clocks.find((each) => each.place === place.id && each.cup === cup);
    const isWet = typeof state.since_pour_s === "number";
    return bowlPanel({ place, cup }, factsOf(facts, place.id, cup), {
      clock,
      isWet,
      isOpen: sheet.open?.some(({ id }) => id === place.id),
    });
  }

  #say(act) {
    if (this.classList.contains("settling")) return;
    this.classList.add("settling");
    setTimeout(() => this.classList.remove("settling"), SLIP_MS);
    this.tell("tap", act);
  }

  // Which bowl is next: by the lab's clocks once there is water, by what was tapped here meanwhile.
  #cueAt(since) {
    const { can, acts } = this.#cue;
    const isPoured = typeof since === "number";
    if (!isPoured || !acts || can.length === 0) return null;
    return cueAt(acts, { isPoured, isBroken: !can.includes("broken") }, since);
  }

  #sayCue(since) {
    if (!this.#cue || this.#rehearsal) return;
    const { sheet, state } = this.model;
    const cue = this.#cueAt(since);
    const said = cue ? sayCue(cue, span) : { large: saying(this.#cue.next, state, sheet), small: "" };
    if (this.#large.textContent !== said.large) this.#large.textContent = said.large;
    if (this.#small.textContent !== said.small) this.#small.textContent = said.small;
    this.#due = nameOf(cue);
    for (const bowl of this.querySelectorAll("[data-bowl]")) {
      bowl.classList.toggle("due", bowl.getAttribute("data-bowl") === this.#due);
    }
    announce(cue?.now ?? null, sheet.table);
  }

  #since({ stateNow, outbox }) {
    return sinceTapS(stateNow.since_pour_s, outbox.entries, Date.now());
  }

  #tick() {
    const since = this.model && this.#since(this.model);
    this.#sayCue(since);
    const said = typeof since === "number" ? `${span(since)} since the first pour` : "";
    if (this.#clock.textContent !== said) this.#clock.textContent = said;
  }
}

function cueKey(name) {
  return key("cue", sayKey(name), { "data-name": name, "aria-pressed": String(isOn(name)) });
}

function saying(next, { flight }, { places, recipe }) {
  if (next === "poured") return `Pour ${places[0].code}, first bowl.`;
  if (next === "broken") return `Break ${places[0].code}, first bowl, at ${span(recipe.steep_s)}.`;
  if (next === "skimmed") return "Skim, then taste.";
  if (flight === "planned") return "The table is not set yet.";
  return flight === "abandoned" ? "This table was given up." : "Nothing to tap now.";
}

function waiting(outbox) {
  const { storing, phone } = outbox.counts;
  const aside = lastAside(outbox.entries);
  if (storing + phone > 0) return "The last tap is still on this device: keep the page open.";
  return aside && `Set aside: ${[aside.answer.rule, aside.answer.remedy].filter(Boolean).join(" ")}`;
}

function nameOf(cue) {
  const act = cue?.now ?? cue?.next;
  return act?.cup ? `${act.place}.${act.cup}` : null;
}

customElements.define("help-page", HelpPage);
