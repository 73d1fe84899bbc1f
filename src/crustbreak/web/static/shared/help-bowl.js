// One bowl on a helper's page: what was noted of it, and the keys to note more. A bowl is touched
// only when it differs; what is noted is an entry like any other tap, and is taken back by name.

import { key, make } from "./dom.js";
import { inOrder } from "./marks.js";
import { span } from "./helper-taps.js";

// A fact's kind: as it is said, its key, and the unit of what is typed.
const KINDS = {
  "bowl poured": { said: "Poured", word: "Poured now", isWet: true },
  "bowl broken": { said: "Broken", word: "Broken now", isWet: true },
  "bowl skimmed": { said: "Skimmed", word: "Skimmed now", isWet: true },
  "bowl spilt": { said: "Spilt", word: "Spilt" },
  "dose weighed": { said: "Dose", word: "Dose, g", unit: "g" },
  "water weighed": { said: "Water", word: "Water, g", unit: "g", isWet: true },
  "heat measured": { said: "Measured", word: "Temperature, °C", unit: "°C", isWet: true },
};

// What stands of all bowls: what the lab said, and what is still on this device.
export function factsNow(facts, entries) {
  const waiting = inOrder(entries.filter((entry) => !entry.answer));
  return waiting.reduce((now, { kind, value, place, cup, grip, no }) => {
    if (kind === "bowl undone") return now.filter(({ name }) => name !== value);
    if (!KINDS[kind]) return now;
    const figure = KINDS[kind].unit ? Number(value.replace(",", ".")) : null;
    const mine = { name: `${grip}.${no}`, place, cup, kind, figure, at_s: null, is_vain: false };
    return [...now.filter((fact) => !isSame(fact, mine)), mine];
  }, facts ?? []);
}

export function factsOf(facts, place, cup) {
  return facts.filter((fact) => fact.place === place && fact.cup === cup);
}

export function sayFact({ kind, figure, at_s: at, is_vain: isVain }) {
  const { said, unit } = KINDS[kind] ?? { said: kind };
  const much = unit ? `${said} ${figure} ${unit}` : said;
  const when = at === null || kind === "dose weighed" ? much : `${much} at ${span(at)}`;
  return isVain ? `${when}: this cannot be in that order; it is kept and changes nothing` : when;
}

// at: the bowl's place and number; facts: what stands of it; isWet: there is water on the table.
export function bowlPanel({ place, cup }, facts, { clock, isWet, isOpen }) {
  const open = Object.entries(KINDS).filter(
    ([kind, each]) => (isWet || !each.isWet) && !facts.some((fact) => fact.kind === kind && !fact.is_vain),
  );
  return make(
    "section",
    { class: "bowl-note", id: "bowl", "aria-labelledby": "bowl-title" },
    make(
      "h2",
      { id: "bowl-title", class: "say", tabindex: -1 },
      isOpen ? "The open bowl" : `Bowl ${cup} of ${place.code}`,
    ),
    make("p", null, isWet && clock ? sayClock(clock) : "Not poured yet."),
    facts.map((fact) =>
      make(
        "p",
        { class: "fact" },
        make("span", null, `${sayFact(fact)}.`),
        key("unnote", "Undo", { "data-name": fact.name, "aria-label": `Undo ${sayFact(fact)}` }),
      ),
    ),
    make(
      "div",
      { class: "notes" },
      open.filter(([, { unit }]) => !unit).map(([kind, { word }]) => key("note", word, { "data-kind": kind })),
    ),
    make("div", { class: "figures" }, open.filter(([, { unit }]) => unit).map(figure)),
    key("close", "Close"),
  );
}

function figure([kind, { word }]) {
  const id = `f-${kind.replace(" ", "-")}`;
  return make(
    "p",
    { class: "figure" },
    make("label", { for: id }, word),
    make("input", { id, inputmode: "decimal", autocomplete: "off" }),
    key("weigh", "Keep", { "data-kind": kind, "data-field": id, "aria-label": `Keep ${word}` }),
  );
}

export function sayClock({ pour_s: pour, break_s: due, is_broken: isBroken, taste_s: taste }) {
  const broken = isBroken ? "broken" : "break due";
  return `On its own clock: poured ${span(pour)}, ${broken} ${span(due)}, taste from ${span(taste)}.`;
}

// A number with a point or a comma; null for anything else.
export function readFigure(text) {
  return /^\s*\d{1,4}([.,]\d{1,3})?\s*$/.test(text) ? text.trim() : null;
}

function isSame(one, other) {
  return one.place === other.place && one.cup === other.cup && one.kind === other.kind;
}
