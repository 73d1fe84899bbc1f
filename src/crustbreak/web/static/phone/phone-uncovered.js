// The codes have names: own and others' totals, each with how sure it is, and the own call. Who
// would decide otherwise, now that the names are known, says so with a reason; the call stays.

import { loadCss } from "../shared/lazy-css.js";
import { key, make } from "../shared/dom.js";
import { ActionElement } from "../shared/action-element.js";
import { saveDraft, readDraft, removeDraft } from "./drafts.js";
import { byCoffee, callOf, coffeeTable, tableCall } from "./coffee-table.js";

const LENGTH = 2000;

await loadCss("phone/later");

class PhoneUncovered extends ActionElement {
  #code = null;
  #word = null;
  #lacks = false;

  constructor() {
    super();
    this.addEventListener("input", ({ target }) => {
      saveDraft(this.#draft, /** @type {HTMLTextAreaElement} */ (target).value);
    });
  }

  // model: the session.
  drawn(session) {
    const { names, state } = session;
    document.title = "Uncovered · Crustbreak";
    if (!canCallAnew(session)) this.#code = null;
    if (this.#code !== null) return this.#form(session);
    const said = state.flight === "decided" ? "Uncovered and decided." : "Uncovered.";
    const title = make("h1", { class: "say", tabindex: -1 }, said);
    if (!names) return [title, make("p", null, "The names are on their way.")];
    return [
      title,
      make("p", null, names.occasion),
      isWhole(session) ? wholeTable(session) : names.coffees.map((coffee) => named(coffee, session)),
      make("div", { class: "move one" }, key("look", "Look at your marks")),
    ].flat();
  }

  #form({ sheet, names }) {
    const { coffee, own_call: call } = this.#code
      ? names.coffees.find(({ code }) => code === this.#code)
      : { own_call: callOf(names) };
    const field = make("textarea", { id: "why", rows: 4, maxlength: LENGTH });
    if (!this.querySelector("#why")) field.value = readDraft(this.#draft) ?? "";
    return [
      make("h1", { class: "say", tabindex: -1 }, this.#code ? `${this.#code} is ${coffee}.` : "The names are known."),
      make(
        "p",
        null,
        this.#code ? "By code you called it " : "Before that you called the table ",
        make("b", null, call),
        ". That stays. What now?",
      ),
      make(
        "div",
        { class: `keys by-${sheet.verdicts.length > 3 ? 2 : 3} words` },
        sheet.verdicts.map((word) =>
          key("choose", word, {
            class: word === this.#word ? "key on" : "key",
            "data-word": word,
            "aria-pressed": String(word === this.#word),
          }),
        ),
      ),
      make("label", { class: "note", for: "why" }, "Because"),
      field,
      make("p", { role: "status" }, this.#lacks && "Choose a word and say why: both are printed."),
      make("div", { class: "move" }, key("leave", "Back"), key("keep", "Keep it", { class: "key on" })),
    ];
  }

  get #draft() {
    return `new call ${this.model.seat.key} ${this.#code}`;
  }

  change({ code }) {
    this.#code = code;
    this.#word = null;
    this.#turn();
  }

  choose({ word }) {
    this.#word = word;
    this.show(this.model);
  }

  keep() {
    const box = /** @type {HTMLTextAreaElement} */ (this.querySelector("#why"));
    const reason = box.value.trim();
    this.#lacks = !this.#word || !reason;
    if (this.#lacks) return this.show(this.model);
    const draft = this.#draft;
    const place = placeOf(this.#code, this.model.sheet);
    this.tell("call-anew", { place, value: this.#word, reason, done: () => removeDraft(draft) });
    this.leave();
  }

  leave() {
    this.#code = null;
    this.#lacks = false;
    this.#turn();
  }

  look() {
    this.tell("look", "marks");
  }

  #turn() {
    this.show(this.model);
    scrollTo(0, 0);
    this.querySelector("h1").focus({ preventScroll: true });
  }
}

function canCallAnew({ state, names, isReadOnly }) {
  return Boolean(names) && state.flight === "uncovered" && !isReadOnly;
}

function isWhole({ sheet }) {
  return sheet.subjects.includes(null);
}

function wholeTable(session) {
  const coffees = byCoffee(session.names.coffees).map((coffee) => coffeeTable(coffee, session));
  return [tableCall(session, canCallAnew(session)), ...coffees];
}

// The table as one has no code.
function placeOf(code, { places }) {
  return places.find((place) => place.code === code)?.id ?? null;
}

function named(coffee, session) {
  const { code, coffee: name, own_total: own, own_missing: open, own_call: call } = coffee;
  const { how_sure: howSure, verdicts } = session.names;
  const others = coffee.others.map((other) => row(other.taster, other.total, howSure));
  const place = placeOf(code, session.sheet);
  const anew = session.told.newCalls.filter((entry) => entry.place === place);
  return make(
    "section",
    { class: "named", "data-code": code, "aria-label": name ?? code },
    make("h2", null, make("b", null, code), " ", name ?? "without a name: its number could not be read"),
    make(
      "table",
      null,
      make("thead", { class: "off" }, make("tr", null, head("Taster"), head("Total, how sure"))),
      make("tbody", null, row("You", own, howSure), others),
    ),
    open.length > 0 && make("p", null, `You left open: ${open.join(", ").toLowerCase()}.`),
    make("p", null, "Your call: ", make("b", null, call ?? "none")),
    anew.map(({ value, reason }) =>
      make("p", null, "Since the names are known: ", make("b", null, value), `. ${reason}`),
    ),
    decided(verdicts?.[name] ?? verdicts?.[code]),
    call && canCallAnew(session) && key("change", "Decide otherwise now", { "data-code": code }),
  );
}

function decided(verdict) {
  return verdict && make("p", null, "Decided: ", make("b", null, verdict));
}

// A number never stands without how sure it is.
function row(taster, total, howSure) {
  const sure = howSure && make("small", null, `how sure: ${howSure}`);
  const told = total === null ? ["no total"] : [`${total.toFixed(2)} `, sure];
  return make("tr", null, make("th", { scope: "row" }, taster), make("td", null, ...told));
}

function head(text) {
  return make("th", { scope: "col" }, text);
}

customElements.define("phone-uncovered", PhoneUncovered);
