// The way through a sheet: round by round, in a round place by place, in a place line by line.
// Each taster begins at a place of their own, goes round, and in every second round back.
// A step is one line of one place; where the person stands is its index.

import { valuesOf } from "../shared/marks.js";

export function stepsOf(sheet, places, walk) {
  return sheet.rounds.flatMap((round, nth) =>
    inOrder(places, walk, nth).flatMap((place) =>
      sheet.lines
        .filter((line) => line.kind !== "words" && !line.beside && line.round === round.id && isAsked(line, place))
        .map((line) => ({ round, place, line })),
    ),
  );
}

// The places as one goes to them in a round, numbered from 0; an older table has no walks.
export function inOrder(places, walk, nth) {
  if (!walk) return places;
  return (nth % 2 === 0 ? walk.there : walk.back).map((number) => places[number]);
}

// One bowl alone has no others to be held against.
export function isAsked(line, place) {
  return place.cups > 1 || !line.compares;
}

// Every bowl of a cups line needs its word.
export function isDone(step, marks) {
  return valuesOf(step, marks).every((value) => value !== null);
}

export function countDone(steps, marks) {
  return { done: steps.filter((step) => isDone(step, marks)).length, all: steps.length };
}

export function inRound(steps, roundId) {
  return steps.filter((step) => step.round.id === roundId);
}

export function openSteps(steps, marks) {
  return steps.filter((step) => !isDone(step, marks));
}

// Where a touch on a place leads: its first open line of this round, else the same line.
export function atPlace(steps, from, placeId, marks) {
  const here = inRound(steps, from.round.id).filter((step) => step.place.id === placeId);
  const open = here.find((step) => !isDone(step, marks));
  return steps.indexOf(open ?? here.find((step) => step.line.id === from.line.id) ?? here[0]);
}

// Where a touch on a round leads: its first open line, else its first.
export function atRound(steps, roundId, marks) {
  const here = inRound(steps, roundId);
  return steps.indexOf(here.find((step) => !isDone(step, marks)) ?? here[0]);
}

// Where to begin: as remembered, else the first open line.
export function startAt(steps, remembered, marks) {
  const index = Number.parseInt(remembered ?? "", 10);
  if (index >= 0 && index < steps.length) return index;
  return Math.max(
    0,
    steps.findIndex((step) => !isDone(step, marks)),
  );
}
