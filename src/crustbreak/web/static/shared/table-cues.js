// What is next at a table, by each bowl's clock: pure, so that a rehearsed clock serves as well.
//
// clocks: a bowl each, in pouring order, with the seconds from the first pour at which it is
// poured, broken, skimmed and may be tasted; rounds: titles with when each begins.
// run: { isPoured, isBroken }: the two taps that everything else follows.

// So long after it fell due a bowl is still the one to go to, unless the next one comes before.
const LINGERS_S = 20;

// Everything that falls due, in order.
export function actsOf(clocks, rounds = []) {
  const bowls = clocks.filter((each) => !each.is_spilt);
  const works = bowls.flatMap(({ place, code, cup, ...at }) => {
    const isOnly = clocks.filter((each) => each.place === place).length === 1;
    const bowl = { place, code, cup, isOnly };
    return [
      { ...bowl, work: "pour", due: at.pour_s },
      { ...bowl, work: "break", due: at.break_s },
      ...(at.skim_s === null ? [] : [{ ...bowl, work: "skim", due: at.skim_s }]),
    ];
  });
  const begun = rounds.slice(1).map(({ title, from_s: due }) => ({ work: "round", title, due }));
  return [...works, ...tastes(bowls), ...begun].sort((one, other) => one.due - other.due);
}

// A coffee is tasted once all its bowls may be.
function tastes(bowls) {
  const from = new Map();
  for (const { place, code, taste_s: due } of bowls) {
    const known = from.get(place);
    from.set(place, { work: "taste", place, code, cup: null, due: Math.max(due, known?.due ?? 0) });
  }
  return [...from.values()];
}

// The act that is due now, or null, and the one after it. `waits`: it fell due and was not tapped.
export function cueAt(acts, { isPoured, isBroken }, t) {
  if (!isPoured) return { now: null, next: acts[0] ?? null };
  const firstBreak = acts.find(({ work }) => work === "break");
  if (!isBroken && firstBreak && t >= firstBreak.due) {
    return { now: { ...firstBreak, waits: true }, next: null };
  }
  const past = acts.filter(({ due }) => due <= t);
  const last = past.at(-1);
  const isNow = last && t - last.due < LINGERS_S;
  return { now: isNow ? last : null, next: acts[past.length] ?? null };
}

const VERBS = { pour: "Pour", break: "Break", skim: "Skim", taste: "Taste" };

// A bowl that is its coffee's only one needs no number.
export function sayAct({ work, code, cup, title, isOnly }) {
  if (work === "round") return `${title} round`;
  return cup === null || isOnly ? `${VERBS[work]} ${code}` : `${VERBS[work]} ${code}, bowl ${cup}`;
}

// Digit by digit, as a code is read out.
export function speakAct(act) {
  return sayAct(act).replace(/\d{3}/, (code) => [...code].join(" "));
}

// What stands large on the page, and smaller under it. Nothing is counted down.
export function sayCue({ now, next }, span) {
  const then = next && `${sayAct(next)}, ${next.work === "taste" ? "from" : "at"} ${span(next.due)}.`;
  if (!now) return { large: then ?? "All bowls may be tasted.", small: "" };
  const since = now.waits ? ` It was due at ${span(now.due)}.` : "";
  const after = then && `Then ${then[0].toLowerCase()}${then.slice(1)}`;
  return { large: `${sayAct(now)}.${since}`, small: after ?? "" };
}

// What each bowl holds at a moment, by its clock.
export function cupAt({ pour_s: pour, break_s: broken, skim_s: skim, ...bowl }, run, t) {
  // The lab says that a bowl was spilt once it was; a rehearsal, when.
  if (bowl.is_spilt && t >= (bowl.spilt_s ?? 0)) return "spilt";
  if (!run.isPoured || t < pour) return "dosed";
  if (!run.isBroken || t < broken) return "poured";
  return skim !== null && t >= skim ? "skimmed" : "broken";
}

// What all bowls hold, place by place.
export function cupsAt(clocks, run, t) {
  const cups = {};
  for (const clock of clocks) (cups[clock.place] ??= []).push(cupAt(clock, run, t));
  return cups;
}
