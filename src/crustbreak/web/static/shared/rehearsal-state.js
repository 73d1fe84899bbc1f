// A table played through before it is run: what the taps make of the plan, as the lab would make
// it of a real one. Pure: the clock is an argument, and nothing is kept anywhere.

import { cupsAt } from "./table-cues.js";

const FACTS = {
  "bowl poured": (bowl, t) => move(bowl, "pour_s", t),
  "bowl broken": (bowl, t) => move(bowl, "break_s", t),
  "bowl skimmed": (bowl, t) => ({ ...bowl, skim_s: t }),
  "bowl spilt": (bowl, t) => ({ ...bowl, spilt_s: t, is_spilt: true }),
};

// plan: { places, recipe, run, table }. taps: what was tapped, each with t, s from the first pour.
export function rehearsalState(plan, taps, t) {
  const made = new Map();
  for (const { kind, value, at } of taps) {
    if (kind === "undone") made.delete(value);
    else if (["poured", "broken", "skimmed"].includes(kind)) made.set(kind, at);
  }
  const facts = factsOf(taps, plan.run.clocks);
  const run = { isPoured: made.has("poured"), isBroken: made.has("broken") };
  const clocks = clocksOf(plan.run.clocks, facts, made);
  return {
    flight: run.isPoured ? "under way" : "set",
    since_pour_s: run.isPoured ? t : null,
    cups: cupsAt(clocks, run, t),
    can: canOf(made),
    may_note: true,
    facts,
    run: { ...run, clocks, rounds: plan.run.rounds },
  };
}

function factsOf(taps, planned) {
  const undone = new Set(taps.filter(({ kind }) => kind === "bowl undone").map(({ value }) => value));
  const facts = taps
    .filter(({ kind, name }) => kind.includes(" ") && kind !== "bowl undone" && !undone.has(name))
    .map(({ kind, value, place, cup, at, name }) => {
      const figure = value ? Number(value.replace(",", ".")) : null;
      return { name, place, cup, kind, figure, at_s: at, is_vain: false };
    });
  return facts.map((fact) => ({ ...fact, is_vain: isVain(fact, facts, planned) }));
}

// As the lab sees it: poured, broken and skimmed in that order, and nothing once it was spilt.
function isVain({ place, cup, kind, at_s: at }, facts, planned) {
  const own = facts.filter((each) => each.place === place && each.cup === cup);
  const when = (wanted) => own.find((each) => each.kind === wanted)?.at_s;
  const pour = when("bowl poured") ?? planned.find((each) => each.place === place && each.cup === cup).pour_s;
  const broken = when("bowl broken");
  if (kind !== "dose weighed" && kind !== "bowl spilt" && at > (when("bowl spilt") ?? Infinity)) return true;
  if (kind === "bowl broken") return at < pour;
  return kind === "bowl skimmed" && at < (broken >= pour ? broken : pour);
}

// The first break that was tapped moves the others, and the skims with them. A bowl that was
// poured out of its turn waits for its own time, and is not broken before the first.
function clocksOf(planned, facts, made) {
  const first = made.get("broken");
  return planned.map((bowl) => {
    const own = facts.filter(({ place, cup, is_vain: wrong }) => place === bowl.place && cup === bowl.cup && !wrong);
    const has = (kind) => own.some((fact) => fact.kind === kind);
    const clock = own.filter(({ kind }) => kind === "bowl poured").reduce(apply, bowl);
    const followed = has("bowl broken") ? clock : follow(clock, first, planned[0], has("bowl poured"));
    const noted = own.filter(({ kind }) => kind !== "bowl poured").reduce(apply, followed);
    return made.has("skimmed") && !has("bowl skimmed") ? skimmed(noted, made.get("skimmed")) : noted;
  });
}

function apply(bowl, { kind, at_s: at }) {
  return FACTS[kind]?.(bowl, at) ?? bowl;
}

function follow(bowl, first, { break_s: due }, isOwn) {
  if (first === undefined) return bowl;
  const t = isOwn ? Math.max(bowl.break_s, first) : bowl.break_s + first - due;
  return move(bowl, "break_s", t);
}

// The last was skimmed by then; those before it in their course.
function skimmed(bowl, t) {
  return { ...bowl, skim_s: Math.min(bowl.skim_s ?? Infinity, Math.max(bowl.break_s, t)) };
}

const AFTER = { pour_s: ["break_s", "skim_s", "taste_s"], break_s: ["skim_s"] };

// What comes after it moves along.
function move(bowl, name, t) {
  const later = AFTER[name].filter((each) => bowl[each] !== null).map((each) => [each, bowl[each] + t - bowl[name]]);
  return { ...bowl, [name]: t, ...Object.fromEntries(later) };
}

function canOf(made) {
  if (made.has("skimmed")) return ["undo skimmed"];
  if (made.has("broken")) return ["skimmed", "undo broken"];
  return made.has("poured") ? ["broken", "undo poured"] : ["poured"];
}
