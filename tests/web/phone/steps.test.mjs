import assert from "node:assert/strict";
import { test } from "node:test";

import { cellOf } from "../../../src/crustbreak/web/static/shared/marks.js";
import {
  atPlace,
  atRound,
  countDone,
  inOrder,
  inRound,
  isAsked,
  isDone,
  openSteps,
  startAt,
  stepsOf,
} from "../../../src/crustbreak/web/static/phone/steps.js";

const SHEET = {
  rounds: [
    { id: "hot", title: "Hot", say: "From 65 °C down." },
    { id: "cool", title: "Cool", say: "Near body warmth." },
  ],
  lines: [
    { id: "flavor", title: "Flavor", kind: "scale", round: "hot" },
    { id: "sweetness", title: "Sweetness", kind: "cups", round: "cool" },
    { id: "aftertaste", title: "Aftertaste", kind: "scale", round: "hot" },
    { id: "way", title: "Which way", kind: "choice", round: "hot", beside: "flavor" },
    { id: "note", title: "Note", kind: "words", round: "" },
  ],
};
const PLACES = [
  { id: "a", code: "204", cups: 2 },
  { id: "b", code: "871", cups: 2 },
];
const STEPS = stepsOf(SHEET, PLACES);

function marked(...cells) {
  const named = cells.map(([place, line, round, cup = null]) => ({ place, line, round, cup }));
  return new Map(named.map((cell) => [cellOf(cell), 8]));
}

test("the way goes by round, then by place, then by line, and leaves out notes and what is asked beside a line", () => {
  const way = STEPS.map(({ round, place, line }) => [round.id, place.id, line.id].join(" "));

  assert.deepEqual(way, [
    "hot a flavor",
    "hot a aftertaste",
    "hot b flavor",
    "hot b aftertaste",
    "cool a sweetness",
    "cool b sweetness",
  ]);
});

test("a walk goes there in the first round, back in the second, and there again", () => {
  const places = [...PLACES, { id: "c", code: "316", cups: 2 }];
  const walk = { there: [1, 2, 0], back: [0, 2, 1] };
  const ids = (nth) => inOrder(places, walk, nth).map(({ id }) => id);

  assert.deepEqual([0, 1, 2, 3].map(ids), [
    ["b", "c", "a"],
    ["a", "c", "b"],
    ["b", "c", "a"],
    ["a", "c", "b"],
  ]);
});

test("an older table without a walk is gone through as it stands", () => {
  assert.equal(inOrder(PLACES, null, 1), PLACES);
  assert.deepEqual(stepsOf(SHEET, PLACES, null), STEPS);
});

test("with a walk every line is met once, in the order of the walk", () => {
  const way = stepsOf(SHEET, PLACES, { there: [1, 0], back: [0, 1] });

  assert.deepEqual(
    way.map(({ round, place, line }) => [round.id, place.id, line.id].join(" ")),
    ["hot b flavor", "hot b aftertaste", "hot a flavor", "hot a aftertaste", "cool a sweetness", "cool b sweetness"],
  );
});

test("touching a place off the way leads there, and the way goes on from it", () => {
  const way = stepsOf(SHEET, PLACES, { there: [1, 0], back: [0, 1] });

  const touched = atPlace(way, way[0], "a", new Map());
  assert.equal(way[touched].place.id, "a");
  assert.equal(way[touched + 2].round.id, "cool");
});

test("a cups line is done once every bowl has its word", () => {
  const sweetness = STEPS[4];

  assert.equal(isDone(sweetness, marked(["a", "sweetness", "cool", 1])), false);
  assert.equal(isDone(sweetness, marked(["a", "sweetness", "cool", 1], ["a", "sweetness", "cool", 2])), true);
});

test("a mark that was taken back leaves its line open", () => {
  const marks = new Map([[cellOf({ place: "a", cup: null, line: "flavor", round: "hot" }), null]]);

  assert.equal(openSteps(STEPS, marks).length, 6);
});

test("lines of a round are counted as done and in all", () => {
  const marks = marked(["a", "flavor", "hot"], ["b", "flavor", "hot"]);

  assert.deepEqual(countDone(inRound(STEPS, "hot"), marks), { done: 2, all: 4 });
});

test("touching a place leads to its first open line of the round", () => {
  const marks = marked(["b", "flavor", "hot"]);

  assert.equal(atPlace(STEPS, STEPS[0], "b", marks), 3);
});

test("touching a place whose round is complete leads to the same line there", () => {
  const marks = marked(["b", "flavor", "hot"], ["b", "aftertaste", "hot"]);

  assert.equal(atPlace(STEPS, STEPS[1], "b", marks), 3);
});

test("a round is entered at its first open line, or at its first", () => {
  const all = inRound(STEPS, "hot").map(({ place, line }) => [place.id, line.id, "hot"]);

  assert.equal(atRound(STEPS, "hot", marked(all[0])), 1);
  assert.equal(atRound(STEPS, "hot", marked(...all)), 0);
});

test("the page starts where the person stood, and otherwise at the first open line", () => {
  const marks = marked(["a", "flavor", "hot"]);

  assert.equal(startAt(STEPS, "4", marks), 4);
  assert.equal(startAt(STEPS, "99", marks), 1);
  assert.equal(startAt(STEPS, null, marks), 1);
});

test("one bowl alone is not held against others", () => {
  const line = { id: "uniformity", title: "Uniformity", kind: "cups", round: "cool", compares: true };
  const sheet = { ...SHEET, lines: [...SHEET.lines, line] };
  const way = stepsOf(sheet, [{ ...PLACES[0], cups: 1 }, PLACES[1]]);

  assert.equal(isAsked(line, { cups: 1 }), false);
  assert.deepEqual(
    way.filter((step) => step.line === line).map(({ place }) => place.id),
    ["b"],
  );
});
