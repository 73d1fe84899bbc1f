// Sentences that more than one part of the page says.

// Smelling needs no cooling; every other round puts hot coffee in the mouth.
const SMELLED = "smell";
// The lab works the cooling out. Where it did not, the warning stays for the longest that bowls take
// in a warm room: common practice, no source.
const HOT_S = 20 * 60;
// The crust is off, or there is nothing to taste.
const OFF = ["broken", "skimmed", "spilt"];

export const TASTE_BELOW = "Taste at 65 °C or below.";
export const CAFFEINE =
  "Spit. 400 mg caffeine a day is the usual limit for healthy adults, 200 mg in pregnancy; " +
  "information, not medical advice.";
export const OWN_SPOON = "Use your own spoon and glass.";

export function stepTitle({ line, place }) {
  return `${line.title} of ${place.code}`;
}

export function againstOpen({ place }) {
  return `${place.code} against the open bowl`;
}

export function lowerFirst(text) {
  return text.charAt(0).toLowerCase() + text.slice(1);
}

export function roundTitle(round) {
  return `${round.title} round`;
}

// Where a round begins and which way it goes, by codes: right and left depend on where one stands.
export function begin(steps) {
  const [first, second] = [...new Set(steps.map(({ place }) => place.code))];
  return `Begin at ${first}${second ? `, then ${second}` : ""}.`;
}

// What the Next key says, and below it.
export function nextWords(step, next) {
  if (!next) return ["Next: hand in", "what is open is named first"];
  if (next.round === step.round) return [`Next: ${lowerFirst(stepTitle(next))}`, ""];
  return [`Next: ${lowerFirst(roundTitle(next.round))}`, next.round.say];
}

export function isPoured({ flight }) {
  return flight !== "planned" && flight !== "set";
}

// open: the bowls that this place is held against, and that are sipped as well.
export function isHot({ round, place }, state, open = []) {
  if (round.id === SMELLED || !isPoured(state)) return false;
  return [place, ...open].some(({ id }) => {
    const cups = state.cups?.[id] ?? [];
    const until = state.taste_from_s?.[id] ?? HOT_S;
    return cups.some((cup) => !OFF.includes(cup)) || (state.since_pour_s ?? 0) < until;
  });
}
