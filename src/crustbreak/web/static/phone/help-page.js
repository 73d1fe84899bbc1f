// The page of a helper at the table: the picture, the clock, and one large key for what is next.
// Fetched only on a device that helps: a taster's phone never pays for it.

import { bowl, make } from "./drawing.js";
import { bowlPanel, factsNow, factsOf, readFigure } from "./help-bowl.js";
import { KeyedElement } from "./keyed-element.js";
import { key } from "./sheet-drawing.js";
import { canTap, lastAside, sinceTapS, span } from "./tapping.js";

const DRAWN = {
  empty: ["empty", "empty"],
  dosed: ["bare", "bare grounds"],
  poured: ["crust", "crust"],
  broken: ["broken", "broken"],
  skimmed: ["skimmed", "skimmed"],
  spilt: ["spilt", "spilt"],
};
const TAPS = { poured: "First pour", broken: "First break", skimmed: "All skimmed" };
const TICK_MS = 250;
// A word of more signs than this has no room between two bowls of a narrow screen.
const SHORT = 8;
// The key that was tapped means the next thing now: a second touch so soon is a slip.
const SLIP_MS = 1500;
const HOT = "Hot water. One person pours, when the lane is clear.";

const styles = make("link", { rel: "stylesheet", href: "/static/phone-help.css" });
// The page comes dressed; should its dress not come, all of it still works.
await new Promise((resolve) => {
  styles.onload = styles.onerror = resolve;
  document.head.append(styles);
});

class HelpPage extends KeyedElement {
  #clock = make("b", { class: "since" });
  // The bowl that was touched: its place's id and its number.
  #at = null;

  connectedCallback() {
    super.connectedCallback();
    this.ticking = setInterval(() => this.#tick(), TICK_MS);
  }

  disconnectedCallback() {
    clearInterval(this.ticking);
  }

  // model: the sitting.
  drawn(model) {
    const { sheet, state, outbox } = model;
    document.title = "At the table · Crustbreak";
    const can = canTap(state.can, outbox.entries);
    const next = can.find((each) => TAPS[each]);
    const facts = factsNow(state.facts, outbox.entries);
    const undo = can.find((each) => each.startsWith("undo "))?.slice("undo ".length);
    this.#tick();
    return [
      make(
        "div",
        { class: "now" },
        make("h1", { class: "say", tabindex: -1 }, saying(next, state, sheet)),
        make("p", { class: "clock" }, this.#clock),
      ),
      make("section", { class: "table", "aria-label": "The table from above" }, picture(model, next, facts)),
      this.#panel(model, facts),
      make(
        "div",
        { class: "taps" },
        make("p", null, make("span", { class: "hot" }, HOT)),
        make("p", { class: "waits", role: "status" }, waiting(outbox)),
        next && key("tap", next === "skimmed" ? TAPS[next] : `${TAPS[next]}, now`, { class: "key go", "data-kind": next }),
        !undo && make("p", { class: "room" }),
        undo && key("undo", `Undo ${TAPS[undo].toLowerCase()}`, { class: "key", "data-kind": undo }),
      ),
    ];
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
    this.querySelector("#bowl-title")?.focus({ preventScroll: true });
  }

  close() {
    this.#at = null;
    this.show(this.model);
  }

  note({ kind }) {
    this.#say({ kind, ...this.#at });
  }

  weigh({ kind, field }) {
    const input = this.querySelector(`#${field}`);
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
    const clock = state.clocks?.find((each) => each.place === place.id && each.cup === cup);
    const isWet = typeof state.since_pour_s === "number";
    return bowlPanel({ place, cup }, factsOf(facts, place.id, cup), { clock, isWet });
  }

  #say(act) {
    if (this.classList.contains("settling")) return;
    this.classList.add("settling");
    setTimeout(() => this.classList.remove("settling"), SLIP_MS);
    this.tell("tap", act);
  }

  #tick() {
    const since = this.model && sinceTapS(
      this.model.stateNow.since_pour_s,
      this.model.outbox.entries,
      Date.now(),
    );
    const said = typeof since === "number" ? `${span(since)} since the first pour` : "";
    if (this.#clock.textContent !== said) this.#clock.textContent = said;
  }
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

// One word for a run of bowls that agree, as on the host's picture.
function picture({ sheet, state }, next, facts) {
  return sheet.places.map(({ id, code, cups }, index) => {
    const states = Array.from({ length: cups }, (_, nth) => state.cups?.[id]?.[nth] ?? "empty");
    const notes = states.map((each, nth) =>
      each !== "spilt" && factsOf(facts, id, nth + 1).length > 0 ? "noted" : "",
    );
    const bowls = states.map((each, nth) => {
      const [drawing, word] = DRAWN[each] ?? DRAWN.empty;
      const isLong = nth + 1 < cups && word.length > SHORT;
      const isRun = each === states[nth + 1] && notes[nth] === notes[nth + 1];
      const note = notes[nth];
      const isNext = Boolean(next) && index === 0 && nth === 0;
      const label = `${code}, bowl ${nth + 1}: ${[word, note].filter(Boolean).join(", ")}${isNext ? ", next" : ""}`;
      return cup({ drawing, label, isNext, word: isRun ? "" : word, note, isLong, at: state.may_note && { id, cup: nth + 1 } });
    });
    return make(
      "div",
      { class: "coffee" },
      make("p", { class: "code" }, code),
      make("ol", { class: "cups" }, bowls),
    );
  });
}

function cup({ drawing, label, isNext, word, note, isLong, at }) {
  const drawn = bowl(drawing);
  drawn.removeAttribute("aria-hidden");
  drawn.setAttribute("role", "img");
  drawn.setAttribute("aria-label", label);
  const said = make(
    "b",
    { class: isNext ? "next" : isLong ? "word long" : "word", "aria-hidden": "true" },
    make("span", null, isNext ? "next" : word),
    note && make("em", null, ` ${note}`),
  );
  const touched = at
    ? make("button", { type: "button", class: "touch", "data-do": "touch", "data-place": at.id, "data-cup": at.cup }, drawn)
    : drawn;
  return make("li", { class: isNext ? "one next" : "one" }, touched, said);
}

customElements.define("help-page", HelpPage);
