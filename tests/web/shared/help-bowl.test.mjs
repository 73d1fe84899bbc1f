import assert from "node:assert/strict";
import { test } from "node:test";

import {
  factsNow,
  factsOf,
  readFigure,
  sayClock,
  sayFact,
} from "../../../src/crustbreak/web/static/shared/help-bowl.js";

const SPILT = { name: "0.4", place: "p1", cup: 3, kind: "bowl spilt", figure: null, at_s: 92, is_vain: false };
const WEIGHED = { kind: "dose weighed", value: "8,6", place: "p1", cup: 2, grip: 1, no: 5, answer: null };

test("what is on this device only stands as what the lab has", () => {
  const now = factsNow([SPILT], [WEIGHED]);

  assert.deepEqual(factsOf(now, "p1", 3), [SPILT]);
  assert.deepEqual(
    factsOf(now, "p1", 2).map(({ name, figure }) => [name, figure]),
    [["1.5", 8.6]],
  );
});

test("what was taken back is gone before the lab says so, wherever it was noted", () => {
  const undone = { kind: "bowl undone", place: "p1", cup: 3, grip: 1, answer: null };

  assert.deepEqual(factsNow([SPILT], [{ ...undone, no: 6, value: "0.4" }]), []);
  assert.deepEqual(factsNow([], [{ ...undone, no: 6, value: "1.5" }, WEIGHED]), []);
  assert.deepEqual(factsNow([], [{ ...WEIGHED, answer: { word: "kept" } }]), []);
  assert.deepEqual(factsNow(undefined, [{ kind: "poured", no: 1, grip: 1 }]), []);
});

test("says a fact with its figure and its moment", () => {
  assert.equal(sayFact(SPILT), "Spilt at 1:32");
  assert.equal(sayFact({ ...SPILT, kind: "heat measured", figure: 64.5, at_s: 700 }), "Measured 64.5 °C at 11:40");
  assert.equal(sayFact({ ...SPILT, kind: "dose weighed", figure: 8.6 }), "Dose 8.6 g");
  assert.match(sayFact({ ...SPILT, is_vain: true }), /cannot be in that order/);
});

test("says a bowl's own clock", () => {
  const clock = { pour_s: 70, break_s: 310, is_broken: false, taste_s: 790 };

  assert.equal(sayClock(clock), "On its own clock: poured 1:10, break due 5:10, taste from 13:10.");
  assert.match(sayClock({ ...clock, is_broken: true }), /broken 5:10/);
});

test("reads a figure with a point or a comma, and nothing else", () => {
  assert.deepEqual(["8.6", " 8,61 ", "150"].map(readFigure), ["8.6", "8,61", "150"]);
  assert.deepEqual(["", "8,6,1", "-3", "many", "1e3"].map(readFigure), [null, null, null, null, null]);
});
