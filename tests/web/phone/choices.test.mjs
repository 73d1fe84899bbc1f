import assert from "node:assert/strict";
import { test } from "node:test";

import { isAsked, lettersOf, parted } from "../../../src/crustbreak/web/static/phone/choices.js";
import { cellOf } from "../../../src/crustbreak/web/static/shared/marks.js";

const STEP = { round: { id: "taste" }, place: { id: "a" }, line: { id: "difference", kind: "scale", least: 0 } };
const WAYS = { options: ["better", "worse", "neither"].map((said) => ({ said })) };
const MOST = {
  options: ["aroma", "flavour", "acidity", "sweetness", "body", "aftertaste", "off-note"].map((said) => ({ said })),
};

function marked(value) {
  return new Map([[cellOf({ place: "a", line: "difference", round: "taste" }), value]]);
}

test("words are asked where the scale says that there is something", () => {
  assert.equal(isAsked(STEP, marked(0.5)), true);
  assert.equal(isAsked(STEP, marked(0)), false);
  assert.equal(isAsked(STEP, marked(null)), false);
  assert.equal(isAsked(STEP, new Map()), false);
});

test("each word has a letter of its own, in its order", () => {
  const letters = lettersOf([WAYS, MOST]);

  assert.equal([...letters.values()].join(""), "bwnafcsote");
  assert.equal(letters.get(MOST.options[4]), "o");
});

test("a word whose letters are all taken goes without one", () => {
  const letters = lettersOf([{ options: [{ said: "on" }, { said: "no" }, { said: "On-no" }] }]);

  assert.deepEqual([...letters.values()], ["o", "n"]);
});

test("a word stands around its letter", () => {
  assert.deepEqual(parted("off-note", "e"), ["off-not", "e", ""]);
  assert.deepEqual(parted("Better", "b"), ["", "B", "etter"]);
  assert.deepEqual(parted("on-no", undefined), ["on-no", "", ""]);
});
