import assert from "node:assert/strict";
import { test } from "node:test";

import { rehearsalState } from "../../../src/crustbreak/web/static/shared/rehearsal-state.js";

// Two bowls, ten seconds a pour, four minutes of steep, a minute to the skim, tasted from 12:00 on.
function bowl(place, cup, pour) {
  const clock = { pour_s: pour, break_s: pour + 240, skim_s: pour + 300, taste_s: pour + 720 };
  return { place, code: "482", cup, is_spilt: false, is_broken: false, ...clock };
}
const PLAN = { run: { clocks: [bowl("p1", 1, 0), bowl("p1", 2, 10)], rounds: [] } };
const POUR = { kind: "poured", at: 0 };
const BREAK = { kind: "broken", at: 250 };

function cups(taps, t) {
  return rehearsalState(PLAN, taps, t).cups.p1;
}

test("before the first pour the bowls stand dry and only the pour can be tapped", () => {
  const state = rehearsalState(PLAN, [], 500);

  assert.deepEqual([state.flight, state.since_pour_s, state.can], ["set", null, ["poured"]]);
  assert.deepEqual(state.cups.p1, ["dosed", "dosed"]);
});

test("the bowls follow the taps in the course that was planned", () => {
  assert.deepEqual(cups([POUR], 5), ["poured", "dosed"]);
  assert.deepEqual(cups([POUR], 500), ["poured", "poured"]);
  // The first break ten seconds late: so are the others, and the skims.
  assert.deepEqual(cups([POUR, BREAK], 255), ["broken", "poured"]);
  assert.deepEqual(cups([POUR, BREAK], 310), ["skimmed", "broken"]);
  assert.deepEqual(cups([POUR, BREAK, { kind: "skimmed", at: 312 }], 313), ["skimmed", "skimmed"]);
});

test("what was tapped is taken back one after the other", () => {
  const undo = (value) => ({ kind: "undone", value, at: 260 });
  const can = (...taps) => rehearsalState(PLAN, taps, 300).can;

  assert.deepEqual(can(POUR, BREAK), ["skimmed", "undo broken"]);
  assert.deepEqual(can(POUR, BREAK, undo("broken")), ["broken", "undo poured"]);
  assert.deepEqual(can(POUR, undo("poured")), ["poured"]);
  assert.deepEqual(can(POUR, BREAK, { kind: "skimmed", at: 300 }), ["undo skimmed"]);
});

test("a bowl that was touched goes by its own clock, until that is taken back", () => {
  const late = { kind: "bowl poured", place: "p1", cup: 2, value: null, at: 70, name: "0.2" };
  const undone = { kind: "bowl undone", place: "p1", cup: 2, value: "0.2", at: 80 };

  const [, second] = rehearsalState(PLAN, [POUR, late, BREAK], 400).run.clocks;
  assert.deepEqual([second.pour_s, second.break_s, second.skim_s, second.taste_s], [70, 310, 370, 790]);
  assert.equal(rehearsalState(PLAN, [POUR, late], 90).facts.length, 1);
  assert.deepEqual(rehearsalState(PLAN, [POUR, late, undone], 90).facts, []);
});

test("a spilt bowl stays spilt, and a weighed one only says so", () => {
  const spilt = { kind: "bowl spilt", place: "p1", cup: 1, value: null, at: 30, name: "0.2" };
  const weighed = { kind: "dose weighed", place: "p1", cup: 2, value: "8,6", at: 31, name: "0.3" };

  const state = rehearsalState(PLAN, [POUR, spilt, weighed], 40);

  assert.deepEqual(state.cups.p1, ["spilt", "poured"]);
  assert.equal(state.facts[1].figure, 8.6);
});
