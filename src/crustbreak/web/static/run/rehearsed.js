// A table played through before it is run: what the taps make of the plan, as the lab would make
// it of a real one. Pure: the clock is an argument, and nothing is kept anywhere.

import { cupAt } from "./course.js";

const FACTS = {
  "bowl poured": (bowl, t) => move(bowl, "pour_s", t),
  "bowl broken": (bowl, t) => move(bowl, "break_s", t),
  "bowl skimmed": (bowl, t) => ({ ...bowl, skim_s: t }),
  "bowl spilt": (bowl, t) => ({ ...bowl, spilt_s: t, is_spilt: true }),
};

// plan: { places, recipe, run, table }. taps: what was tapped, each with t, s from the first pour.
export function rehearsed(plan, taps, t) {
  const made = new Map();
  for (const { kind, value, at } of taps) {
    if (kind === "undone") made.delete(value);
    else if (["poured", "broken", "skimmed"].includes(kind)) made.set(kind, at);
  }
  const facts = factsOf(taps);
  const run = { isPoured: made.has("poured"), isBroken: made.has("broken") };
  const clocks = clocksOf(plan.run.clocks, facts, made);
  return {
    flight: run.isPoured ? "under way" : "set",
    since_pour_s: run.isPoured ? t : null,
    cups: cupsOf(clocks, run, t),
    can: canOf(made),
    may_note: true,
    facts,
    run: { ...run, clocks, rounds: plan.run.rounds },
  };
}

function factsOf(taps) {
  const undone = new Set(taps.filter(({ kind }) => kind === "bowl undone").map(({ value }) => value));
  return taps
    .filter(({ kind, name }) => kind.includes(" ") && kind !== "bowl undone" && !undone.has(name))
    .map(({ kind, value, place, cup, at, name }) => {
      const figure = value ? Number(value.replace(",", ".")) : null;
      return { name, place, cup, kind, figure, at_s: at, is_vain: false };
    });
}

// The first break that was tapped moves the others, and the skims with them.
function clocksOf(planned, facts, made) {
  const late = made.has("broken") ? made.get("broken") - planned[0].break_s : 0;
  return planned.map((bowl) => {
    const own = facts.filter(({ place, cup }) => place === bowl.place && cup === bowl.cup);
    const isOwn = own.some(({ kind }) => kind === "bowl poured" || kind === "bowl broken");
    const moved = isOwn ? bowl : move(bowl, "break_s", bowl.break_s + late);
    const clock = own.reduce((now, { kind, at_s: at }) => FACTS[kind]?.(now, at) ?? now, moved);
    if (!made.has("skimmed")) return clock;
    return { ...clock, skim_s: Math.min(clock.skim_s ?? Infinity, made.get("skimmed")) };
  });
}

const AFTER = { pour_s: ["break_s", "skim_s", "taste_s"], break_s: ["skim_s"] };

// What comes after it moves along.
function move(bowl, name, t) {
  const later = AFTER[name]
    .filter((each) => bowl[each] !== null)
    .map((each) => [each, bowl[each] + t - bowl[name]]);
  return { ...bowl, [name]: t, ...Object.fromEntries(later) };
}

function cupsOf(clocks, run, t) {
  const cups = {};
  for (const clock of clocks) (cups[clock.place] ??= []).push(cupAt(clock, run, t));
  return cups;
}

function canOf(made) {
  if (made.has("skimmed")) return ["undo skimmed"];
  if (made.has("broken")) return ["skimmed", "undo broken"];
  return made.has("poured") ? ["broken", "undo poured"] : ["poured"];
}
