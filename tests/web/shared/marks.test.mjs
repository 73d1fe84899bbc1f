import assert from "node:assert/strict";
import { test } from "node:test";

import {
  asideNow,
  cellOf,
  cellsOf,
  flaggedCups,
  fold,
  inOrder,
  valuesOf,
  whereIs,
} from "../../../src/crustbreak/web/static/shared/marks.js";

const CELL = { place: "a", cup: null, line: "flavor", round: "hot" };
const SWEETNESS = {
  id: "sweetness",
  kind: "cups",
  round: "cool",
  options: [{ id: "sweet" }, { id: "not_sweet" }],
};

function entry(no, more = {}) {
  return { id: String(no), grip: 1, no, kind: "mark", ...CELL, value: 8, answer: null, ...more };
}

test("the highest number wins, whatever came first", () => {
  const { marks } = fold([entry(2, { value: 8.25 }), entry(1, { value: 7 })]);

  assert.equal(marks.get(cellOf(CELL)), 8.25);
});

test("what is called anew stands beside the call", () => {
  const said = [
    entry(1, { kind: "call", value: "buy" }),
    entry(3, { kind: "new_call", value: "decline", reason: "The price." }),
    entry(2, { kind: "new_call", value: "look again", reason: "The name." }),
  ];

  const { calls, newCalls } = fold(said);

  assert.equal(calls.get("a"), "buy");
  assert.deepEqual(
    newCalls.map(({ value }) => value),
    ["look again", "decline"],
  );
});

test("a call that came too late changes nothing", () => {
  const said = [
    entry(1, { kind: "call", value: "buy", answer: { word: "kept" } }),
    entry(2, { kind: "call", value: "decline", answer: { word: "kept late" } }),
  ];

  assert.equal(fold(said).calls.get("a"), "buy");
});

test("a newer device goes before a higher number of an older one", () => {
  const { marks } = fold([entry(9, { value: 6 }), entry(1, { grip: 2, value: 7 })]);

  assert.equal(marks.get(cellOf(CELL)), 7);
});

test("what is not stored yet is the newest, in the order in which it was said", () => {
  const said = inOrder([entry(null, { id: "x" }), entry(5), entry(null, { id: "y" })]);

  assert.deepEqual(
    said.map(({ id }) => id),
    ["5", "x", "y"],
  );
});

test("a mark taken back is there as null", () => {
  const { marks } = fold([entry(1), entry(2, { value: null })]);

  assert.equal(marks.get(cellOf(CELL)), null);
});

test("what the lab set aside does not count, and is named until it is replaced", () => {
  const bad = entry(2, { value: 99, answer: { word: "set aside" } });

  assert.equal(fold([entry(1), bad]).marks.get(cellOf(CELL)), 8);
  assert.deepEqual(asideNow([entry(1), bad]), [bad]);
  assert.deepEqual(asideNow([entry(1), bad, entry(3)]), []);
});

test("calls and the hand-in are told apart from marks", () => {
  const call = { kind: "call", line: null, round: null };
  const told = fold([
    entry(1, { kind: "hand_in", place: null }),
    entry(2, { ...call, value: "buy" }),
    entry(3, { ...call, value: "decline" }),
  ]);

  assert.equal(told.handedIn, true);
  assert.equal(told.calls.get("a"), "decline");
  assert.equal(told.marks.size, 0);
});

test("each bowl of a cups line has a cell of its own", () => {
  const step = { round: { id: "cool" }, place: { id: "a", cups: 3 }, line: SWEETNESS };
  const marks = new Map([[cellOf(cellsOf(step)[1]), "sweet"]]);

  assert.deepEqual(
    cellsOf(step).map(({ cup }) => cup),
    [1, 2, 3],
  );
  assert.deepEqual(valuesOf(step, marks), [null, "sweet", null]);
});

test("a bowl with another word than the usual one is flagged", () => {
  const place = { id: "a", cups: 3 };
  const cell = { place: "a", line: "sweetness", round: "cool" };
  const marks = new Map([
    [cellOf({ ...cell, cup: 1 }), "sweet"],
    [cellOf({ ...cell, cup: 2 }), "not_sweet"],
  ]);

  assert.deepEqual([...flaggedCups(place, [SWEETNESS], marks)], [2]);
});

test("a mark made after the hand-in does not count, whenever it came", () => {
  const { marks } = fold([
    entry(3, { value: 9 }),
    entry(2, { kind: "hand_in", place: null, line: null, round: null, value: null }),
    entry(1),
  ]);

  assert.equal(marks.get(cellOf(CELL)), 8);
});

test("a coffee tells how much of it is on this phone only", () => {
  const kept = { answer: { word: "kept" } };
  const entries = [entry(1, kept), entry(2), entry(3, { place: "b" })];

  assert.deepEqual(whereIs(entries, "a"), { phone: 1, all: 2 });
  assert.deepEqual(whereIs(entries, "c"), { phone: 0, all: 0 });
});

test("a coffee that was thought to be known can be taken back", () => {
  const said = [
    entry(1, { kind: "knew", place: "a", value: "yes" }),
    entry(2, { kind: "knew", place: "b", value: "yes" }),
    entry(3, { kind: "knew", place: "a", value: null }),
  ];

  assert.deepEqual([...fold(said).knew], ["b"]);
});
