import assert from "node:assert/strict";
import { test } from "node:test";

import {
  againstOpen,
  begin,
  isHot,
  isPoured,
  lowerFirst,
  nextWords,
  roundTitle,
  stepTitle,
} from "../../../src/crustbreak/web/static/phone/wording.js";

const PLACE = { id: "a", code: "204" };
const HOT = { id: "hot", title: "Hot", say: "From 65 °C down." };
const COOL = { id: "cool", title: "Cool", say: "Near body warmth." };
const FLAVOR = { round: HOT, place: PLACE, line: { title: "Flavor" } };
const SWEETNESS = { round: COOL, place: PLACE, line: { title: "Sweetness" } };

function state(more = {}) {
  return { flight: "under way", since_pour_s: 1500, cups: { a: ["broken", "broken"] }, ...more };
}

test("a step is named by its line and its code", () => {
  assert.equal(stepTitle(FLAVOR), "Flavor of 204");
  assert.equal(lowerFirst("Flavor of 204"), "flavor of 204");
  assert.equal(roundTitle(HOT), "Hot round");
});

test("the way on names the next line, the next round with its say, or the hand-in", () => {
  assert.deepEqual(nextWords(FLAVOR, FLAVOR), ["Next: flavor of 204", ""]);
  assert.deepEqual(nextWords(FLAVOR, SWEETNESS), ["Next: cool round", "Near body warmth."]);
  assert.equal(nextWords(SWEETNESS, undefined)[0], "Next: hand in");
});

test("a bowl is held against one that stands open", () => {
  assert.equal(againstOpen(FLAVOR), "204 against the open bowl");
});

test("a round says at which code to begin, and which comes next", () => {
  const other = { ...FLAVOR, place: { id: "b", code: "871" } };

  assert.equal(begin([other, other, FLAVOR]), "Begin at 871, then 204.");
  assert.equal(begin([FLAVOR]), "Begin at 204.");
});

test("a bowl that is not broken, or was poured a short while ago, is hot", () => {
  assert.equal(isHot(FLAVOR, state()), false);
  assert.equal(isHot(FLAVOR, state({ cups: { a: ["broken", "poured"] } })), true);
  assert.equal(isHot(FLAVOR, state({ since_pour_s: 1100 })), true);
  // The lab worked out when this place is cool enough.
  const cool = { since_pour_s: 1100, taste_from_s: { a: 1000, b: 1200 } };
  assert.equal(isHot(FLAVOR, state(cool)), false);
});

test("a bowl that is skimmed cools as one that is broken, and a spilt one keeps nobody", () => {
  assert.equal(isHot(FLAVOR, state({ cups: { a: ["skimmed", "spilt"] } })), false);
  assert.equal(isHot(FLAVOR, state({ cups: { a: ["skimmed", "spilt"] }, since_pour_s: 1100 })), true);
});

test("a place is hot as long as the open bowl beside it is", () => {
  const cool = { since_pour_s: 1100, taste_from_s: { a: 1000, o: 1150 } };

  assert.equal(isHot(FLAVOR, state(cool), [{ id: "o" }]), true);
  assert.equal(isHot(FLAVOR, state({ ...cool, since_pour_s: 1150 }), [{ id: "o" }]), false);
});

test("smelling needs no caution, and neither does a table without water", () => {
  const smell = { ...FLAVOR, round: { id: "smell" } };

  assert.equal(isHot(smell, state({ since_pour_s: 60 })), false);
  assert.equal(isHot(FLAVOR, state({ flight: "set", since_pour_s: null })), false);
  assert.equal(isPoured(state({ flight: "set" })), false);
});
