import assert from "node:assert/strict";
import { test } from "node:test";

import { allAlike, saidOf, summary, takeBack, touchBowl } from "../../../src/crustbreak/web/static/phone/bowl-words.js";

const OPTIONS = [
  { id: "none", said: "no defect" },
  { id: "taint", said: "taint" },
  { id: "fault", said: "fault" },
];
const LINE = { options: OPTIONS, all_alike: "None" };

test("the first touch says that this bowl differs and all others do not", () => {
  assert.deepEqual(touchBowl([null, null, null], 2, OPTIONS), [
    { cup: 1, value: "none" },
    { cup: 2, value: "taint" },
    { cup: 3, value: "none" },
  ]);
});

test("further touches step through the words and back to the usual one", () => {
  assert.deepEqual(touchBowl(["taint", "none"], 1, OPTIONS), [{ cup: 1, value: "fault" }]);
  assert.deepEqual(touchBowl(["fault", "none"], 1, OPTIONS), [{ cup: 1, value: "none" }]);
});

test("the key for all alike changes only what is not so already", () => {
  assert.deepEqual(allAlike(["none", "taint", null], OPTIONS), [
    { cup: 2, value: "none" },
    { cup: 3, value: "none" },
  ]);
});

test("taking back leaves every bowl without a word", () => {
  assert.deepEqual(takeBack(["none", null]), [{ cup: 1, value: null }]);
});

test("the summary says what differs, and only that", () => {
  assert.equal(summary([null, null], LINE), "");
  assert.equal(summary(["none", "none"], LINE), "None");
  assert.equal(summary(["none", null], LINE), "begun");
  assert.equal(summary(["fault", "none", "taint"], LINE), "1 fault, 3 taint");
});

test("a word is said as its line says it", () => {
  assert.equal(saidOf("none", LINE), "no defect");
  assert.equal(saidOf(null, LINE), "");
});
