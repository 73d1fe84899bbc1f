import assert from "node:assert/strict";
import { test } from "node:test";

import {
  actsOf,
  cueAt,
  cupAt,
  cupsAt,
  sayAct,
  sayCue,
  speakAct,
} from "../../../src/crustbreak/web/static/shared/table-cues.js";

const span = (seconds) => `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;

// Two bowls of 482 and one of 170: ten seconds a pour, four minutes of steep, tasted from 12:00 on.
function bowl(place, code, cup, pour, more = {}) {
  const clock = { pour_s: pour, break_s: pour + 240, skim_s: pour + 300, taste_s: pour + 720 };
  return { place, code, cup, is_spilt: false, is_broken: false, ...clock, ...more };
}
const CLOCKS = [bowl("p1", "482", 1, 0), bowl("p1", "482", 2, 10), bowl("p2", "170", 1, 20)];
const ROUNDS = [
  { title: "Hot", from_s: 730 },
  { title: "Warm", from_s: 1150 },
];
const DRY = { isPoured: false, isBroken: false };
const POURED = { isPoured: true, isBroken: false };
const BROKEN = { isPoured: true, isBroken: true };

function said(run, t, clocks = CLOCKS) {
  const { now, next } = cueAt(actsOf(clocks, ROUNDS), run, t);
  return [now && sayAct(now), next && `${sayAct(next)} ${next.due}`];
}

test("everything falls due in its order, a coffee once all its bowls may be tasted", () => {
  const acts = actsOf(CLOCKS, ROUNDS).map((act) => `${act.due} ${sayAct(act)}`);

  assert.deepEqual(acts.slice(0, 4), [
    "0 Pour 482, bowl 1",
    "10 Pour 482, bowl 2",
    "20 Pour 170",
    "240 Break 482, bowl 1",
  ]);
  assert.deepEqual(acts.slice(-3), ["730 Taste 482", "740 Taste 170", "1150 Warm round"]);
});

test("names the bowl that is due and the one after it", () => {
  assert.deepEqual(said(DRY, 0), [null, "Pour 482, bowl 1 0"]);
  assert.deepEqual(said(POURED, 12), ["Pour 482, bowl 2", "Pour 170 20"]);
  assert.deepEqual(said(POURED, 60), [null, "Break 482, bowl 1 240"]);
  assert.deepEqual(said(BROKEN, 251), ["Break 482, bowl 2", "Break 170 260"]);
  assert.deepEqual(said(BROKEN, 2000), [null, null]);
});

test("waits for the first break, however late, and says when it was due", () => {
  const cue = cueAt(actsOf(CLOCKS, ROUNDS), POURED, 300);

  assert.deepEqual(sayCue(cue, span), { large: "Break 482, bowl 1. It was due at 4:00.", small: "" });
});

test("a bowl poured late comes in its own turn, and a spilt one in none", () => {
  const late = [CLOCKS[0], bowl("p1", "482", 2, 90), CLOCKS[2]];
  const spilt = [CLOCKS[0], bowl("p1", "482", 2, 10, { is_spilt: true }), CLOCKS[2]];

  assert.deepEqual(said(BROKEN, 262, late), ["Break 170", "Skim 482, bowl 1 300"]);
  assert.deepEqual(said(BROKEN, 331, late), ["Break 482, bowl 2", "Skim 482, bowl 2 390"]);
  assert.deepEqual(said(POURED, 3, spilt), ["Pour 482, bowl 1", "Pour 170 20"]);
});

test("a bowl that is its coffee's only one is named by its code alone", () => {
  const [, , only] = actsOf(CLOCKS);

  assert.deepEqual([only.place, only.cup, sayAct(only)], ["p2", 1, "Pour 170"]);
});

test("a table that planned no skim names none", () => {
  const bare = CLOCKS.map((each) => ({ ...each, skim_s: null }));

  assert.deepEqual(said(BROKEN, 290, bare), [null, "Taste 482 730"]);
});

test("says in one line what is now and in another what comes then, and counts nothing down", () => {
  const acts = actsOf(CLOCKS, ROUNDS);

  assert.deepEqual(sayCue(cueAt(acts, POURED, 12), span), {
    large: "Pour 482, bowl 2.",
    small: "Then pour 170, at 0:20.",
  });
  assert.deepEqual(sayCue(cueAt(acts, BROKEN, 600), span), { large: "Taste 482, from 12:10.", small: "" });
  assert.equal(sayCue(cueAt(acts, BROKEN, 2000), span).large, "All bowls may be tasted.");
});

test("a code is read out digit by digit", () => {
  assert.equal(speakAct({ work: "break", code: "482", cup: 3 }), "Break 4 8 2, bowl 3");
  assert.equal(speakAct({ work: "taste", code: "170", cup: null }), "Taste 1 7 0");
  assert.equal(speakAct({ work: "round", title: "Warm" }), "Warm round");
});

test("a bowl holds what its clock says", () => {
  const held = [0, 10, 250, 310].map((t) => cupAt(CLOCKS[1], BROKEN, t));

  assert.deepEqual(held, ["dosed", "poured", "broken", "skimmed"]);
  assert.equal(cupAt(CLOCKS[1], DRY, 999), "dosed");
  assert.equal(cupAt(CLOCKS[1], POURED, 999), "poured");
  assert.equal(cupAt({ ...CLOCKS[1], skim_s: null }, BROKEN, 999), "broken");
  assert.equal(cupAt({ ...CLOCKS[1], is_spilt: true, spilt_s: 100 }, BROKEN, 120), "spilt");
  assert.equal(cupAt({ ...CLOCKS[1], is_spilt: true, spilt_s: 100 }, BROKEN, 90), "poured");
  assert.equal(cupAt({ ...CLOCKS[1], is_spilt: true }, DRY, 0), "spilt");
});

test("all bowls are told place by place", () => {
  assert.deepEqual(cupsAt(CLOCKS, POURED, 12), { p1: ["poured", "poured"], p2: ["dosed"] });
});
