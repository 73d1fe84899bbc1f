import assert from "node:assert/strict";
import { test } from "node:test";

import {
  anchorOf,
  columns,
  keysOf,
  pressPart,
  pressWhole,
  shown,
  shownPart,
  typePoint,
} from "../../../src/crustbreak/web/static/phone/scale-points.js";

const QUARTERS = {
  least: 6,
  most: 10,
  step: 0.25,
  anchors: [
    [6, "good"],
    [9, "outstanding"],
  ],
};
const WHOLES = { least: 1, most: 9, step: 1, anchors: [] };

test("quarters have four whole points, four parts, and the top apart", () => {
  assert.deepEqual(keysOf(QUARTERS), {
    wholes: [6, 7, 8, 9],
    parts: [0, 0.25, 0.5, 0.75],
    apart: [10],
  });
});

test("a scale of whole points has one key for each", () => {
  assert.deepEqual(keysOf(WHOLES), { wholes: [1, 2, 3, 4, 5, 6, 7, 8, 9], parts: [], apart: [] });
  assert.deepEqual(keysOf({ least: 0, most: 15, step: 5 }).wholes, [0, 5, 10, 15]);
});

test("whole points that do not fit the row are apart as well", () => {
  assert.deepEqual(keysOf({ least: 4, most: 10, step: 0.5 }), {
    wholes: [6, 7, 8, 9],
    parts: [0, 0.5],
    apart: [4, 5, 10],
  });
});

test("a whole point alone is that point", () => {
  assert.equal(pressWhole(null, 8, QUARTERS), 8);
});

test("another whole point keeps the quarter", () => {
  assert.equal(pressWhole(8.25, 7, QUARTERS), 7.25);
});

test("the top of the scale has no quarters, and the way down starts at a whole point", () => {
  assert.equal(pressWhole(8.25, 10, QUARTERS), 10);
  assert.equal(pressPart(10, 0.25, QUARTERS), 10);
  assert.equal(pressWhole(10, 9, QUARTERS), 9);
});

test("a part needs a whole point to belong to", () => {
  assert.equal(pressPart(null, 0.25, QUARTERS), null);
  assert.equal(pressPart(8.75, 0.25, QUARTERS), 8.25);
  assert.equal(pressPart(8.75, 0, QUARTERS), 8);
});

test("a scale that starts between two points cannot be left downwards", () => {
  assert.equal(pressWhole(null, 5, { least: 5.5, most: 10, step: 0.5 }), 5.5);
});

test("tenths stay tenths", () => {
  const tenths = { least: 0, most: 10, step: 0.1 };

  assert.deepEqual(keysOf(tenths).parts.slice(0, 4), [0, 0.1, 0.2, 0.3]);
  assert.equal(pressPart(8.1, 0.3, tenths), 8.3);
  assert.equal(pressWhole(8.3, 7, tenths), 7.3);
});

test("marks and parts are written as tasters write them", () => {
  assert.equal(shown(8, QUARTERS), "8.00");
  assert.equal(shown(8, WHOLES), "8");
  assert.equal(shownPart(0.25, QUARTERS), ".25");
  assert.equal(shownPart(0, QUARTERS), ".00");
});

test("a point has its word, or none", () => {
  assert.equal(anchorOf(9, QUARTERS), "outstanding");
  assert.equal(anchorOf(7, QUARTERS), "");
});

test("keys stand in even rows", () => {
  assert.deepEqual([2, 4, 6, 9, 10].map(columns), [2, 4, 3, 3, 4]);
});

// Types key after key, and gives the value that stands then.
function typing(keys, scale, value = null) {
  return [...keys].reduce((now, key) => typePoint(key, now.typed, now.value, scale), { value, typed: "" }).value;
}

test("a number is typed as it is written, or by its first digits", () => {
  assert.equal(typing("8.25", QUARTERS), 8.25);
  assert.equal(typing("8,5", QUARTERS), 8.5);
  assert.equal(typing("825", QUARTERS), 8.25);
  assert.equal(typing("9.7", QUARTERS), 9.75);
  assert.equal(typing("1", QUARTERS), 10);
});

test("after a whole part the next digit is a point again", () => {
  assert.equal(typing("8.257", QUARTERS), 7.25);
  assert.equal(typing("8.0", QUARTERS, 8.75), 8);
});

test("a digit that the scale has not changes nothing", () => {
  assert.equal(typing("3", QUARTERS, 8), 8);
  assert.equal(typing("2", QUARTERS), null);
  assert.equal(typing("0", WHOLES, 4), 4);
});

const FROM_NOUGHT = { least: 0, most: 5, step: 0.5, anchors: [] };

test("a scale from nought has its ends among its keys", () => {
  assert.deepEqual(keysOf(FROM_NOUGHT), { wholes: [0, 1, 2, 3, 4, 5], parts: [0, 0.5], apart: [] });
  assert.deepEqual(keysOf({ least: 0, most: 10, step: 0.5 }).apart, [0, 1, 2, 3, 4, 5, 10]);
});

test("nought is nothing, and no half of one", () => {
  assert.equal(pressWhole(2.5, 0, FROM_NOUGHT), 0);
  assert.equal(pressWhole(2.5, 4, FROM_NOUGHT), 4.5);
  assert.equal(pressPart(0, 0.5, FROM_NOUGHT), 0.5);
  assert.equal(pressPart(5, 0.5, FROM_NOUGHT), 5);
});

test("halves are written and typed with one decimal", () => {
  assert.equal(shown(2.5, FROM_NOUGHT), "2.5");
  assert.equal(shown(0, FROM_NOUGHT), "0.0");
  assert.equal(shownPart(0.5, FROM_NOUGHT), ".5");
  assert.equal(typing("2.5", FROM_NOUGHT), 2.5);
  assert.equal(typing("2.50", FROM_NOUGHT), 2.5);
  assert.equal(typing("2.53", FROM_NOUGHT), 2.5);
  assert.equal(typing("4,5", FROM_NOUGHT, 0), 4.5);
  assert.equal(typing("0", FROM_NOUGHT, 4.5), 0);
});
