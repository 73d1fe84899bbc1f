// What a taster has said so far, folded from entries. The order of arrival means nothing: the
// value of a cell is that of the entry with the highest (grip, no). An entry that is not stored
// yet has no number and is the newest. One that the lab set aside does not count.

export function cellOf({ place, cup, line, round }) {
  return [place, cup ?? "", line, round].join("/");
}

export function inOrder(entries) {
  const no = (entry) => entry.no ?? Infinity;
  return [...entries].sort((a, b) => a.grip - b.grip || (no(a) === no(b) ? 0 : no(a) - no(b)));
}

export function fold(entries) {
  const told = { marks: new Map(), calls: new Map(), newCalls: [], knew: new Set(), handedIn: false };
  for (const entry of inOrder(entries)) {
    if (isAside(entry)) continue;
    // Closed is closed, here as in the lab.
    if (entry.kind === "mark" && !told.handedIn) told.marks.set(cellOf(entry), entry.value);
    // Once it is known which codes were one coffee, a call comes too late.
    if (entry.kind === "call" && entry.answer?.word !== "kept late") told.calls.set(entry.place, entry.value);
    if (entry.kind === "knew") told.knew[entry.value === null ? "delete" : "add"](entry.place);
    if (entry.kind === "new_call") told.newCalls.push(entry);
    if (entry.kind === "hand_in") told.handedIn = true;
  }
  return told;
}

// The value of a step in each of its cells: one for a scale, one a bowl for a cups line.
export function valuesOf(step, marks) {
  return cellsOf(step).map((cell) => marks.get(cellOf(cell)) ?? null);
}

export function cellsOf({ round, place, line }) {
  const cell = { place: place.id, cup: null, line: line.id, round: round.id };
  if (line.kind !== "cups") return [cell];
  return Array.from({ length: place.cups }, (_, index) => ({ ...cell, cup: index + 1 }));
}

// Bowls of a place that wear a cross: any of its cups lines has another word than the usual.
export function flaggedCups(place, lines, marks) {
  const flagged = new Set();
  for (const line of lines.filter(({ kind }) => kind === "cups")) {
    const step = { round: { id: line.round }, place, line };
    valuesOf(step, marks).forEach((value, index) => {
      if (value !== null && value !== line.options[0].id) flagged.add(index + 1);
    });
  }
  return flagged;
}

// How much of what was said of a place is still on this phone only, and how much there is.
export function whereIs(entries, placeId) {
  const here = entries.filter((entry) => entry.place === placeId);
  return { phone: here.filter((entry) => !entry.answer).length, all: here.length };
}

// Entries set aside that nothing newer has replaced: those that still need the person.
export function asideNow(entries) {
  const newest = new Map();
  for (const entry of inOrder(entries)) newest.set(`${entry.kind}/${cellOf(entry)}`, entry);
  return [...newest.values()].filter(isAside);
}

function isAside(entry) {
  return entry.answer?.word === "set aside";
}
