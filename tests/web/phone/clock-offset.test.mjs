import assert from "node:assert/strict";
import { test } from "node:test";

import { ClockOffsets, sincePourS } from "../../../src/crustbreak/web/static/phone/clock-offset.js";

// A phone that is ten minutes slow: its clock shows 1 000 000 when the lab's shows 1 600 000.
const SLOW_MS = 600_000;

function heard(...exchanges) {
  const offsets = new ClockOffsets();
  exchanges.forEach(([sent, back, lab]) => offsets.hear({ sent, heard: back, lab }));
  return offsets.best;
}

test("the lab's moment is held against the middle of the exchange", () => {
  // Sent at 1 000 000, heard at 1 000 080: the middle is 1 000 040, and the lab said 1 600 040.
  const best = heard([1_000_000, 1_000_080, 1_600_040]);

  assert.deepEqual(best, { ms: SLOW_MS, trip: 80 });
});

test("a clock that is fast has an offset below nought", () => {
  // The middle is 700 010 and the lab said 100 000: 600 010 back.
  assert.equal(heard([700_000, 700_020, 100_000]).ms, -600_010);
});

test("the guess with the least round trip counts, not the newest", () => {
  // 400 ms on the way, nearly all of it there: the middle is 1 000 200, the lab said 1 600 350,
  // so this guess is 150 ms off. The one before took 20 ms and says 600 000.
  const best = heard([990_000, 990_020, 1_590_010], [1_000_000, 1_000_400, 1_600_350]);

  assert.deepEqual(best, { ms: SLOW_MS, trip: 20 });
});

test("only the last eight count", () => {
  const quick = [900_000, 900_010, 1_500_005];
  // 200 ms each, in step: the middle is 100 ms after sending.
  const slow = (nth) => [910_000 + nth * 1000, 910_200 + nth * 1000, 1_510_100 + nth * 1000];
  const seven = Array.from({ length: 7 }, (_, nth) => slow(nth));

  assert.equal(heard(quick, ...seven).trip, 10);
  assert.equal(heard(quick, ...seven, slow(7)).trip, 200);
});

test("a clock that was set makes the guesses before it worthless", () => {
  // Ten minutes slow, then set right: the new guess is 0 although its round trip is longer.
  const best = heard([1_000_000, 1_000_010, 1_600_005], [1_700_000, 1_700_300, 1_700_150]);

  assert.deepEqual(best, { ms: 0, trip: 300 });
});

test("an answer without the lab's moment, or heard before it was sent, tells nothing", () => {
  assert.equal(heard([1_000_000, 1_000_080, Number.NaN], [1_000_000, 999_000, 1_600_000]), null);
});

test("the clock since the pour goes on by itself, whatever the phone's own clock says", () => {
  const state = { since_pour_s: 30, now: "2031-03-04T09:30:00.000Z" };
  // The lab's clock shows 09:31:15 when the phone's, ten minutes slow, shows 09:21:15: 75 s on.
  const now = Date.parse("2031-03-04T09:21:15.000Z");

  assert.equal(sincePourS(state, { ms: SLOW_MS, trip: 80 }, now), 105);
  assert.equal(sincePourS(state, null, now), 30);
  assert.equal(sincePourS({ since_pour_s: null }, { ms: 0 }, now), null);
  assert.equal(sincePourS(null, null, now), null);
});
