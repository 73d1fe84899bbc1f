import assert from "node:assert/strict";
import { test } from "node:test";

import { canTap, lastAside, sinceTapS, span } from "../../../src/crustbreak/web/static/shared/helper-taps.js";

const POUR = { kind: "poured", value: null, grip: 1, no: 1, device_time: "2031-03-04T09:30:00.000Z" };
const NO_POUR = { ...POUR, kind: "undone", value: "poured", no: 2 };
const BREAK = { ...POUR, kind: "broken", no: 3 };
const KEPT = { word: "kept" };

test("a tap that waits has happened, as far as this device knows", () => {
  assert.deepEqual(canTap(["poured"], []), ["poured"]);
  assert.deepEqual(canTap(["poured"], [POUR]), ["broken", "undo poured"]);
  assert.deepEqual(canTap(["poured"], [POUR, NO_POUR]), ["poured"]);
  assert.deepEqual(canTap(["poured"], [BREAK, POUR]), ["skimmed", "undo broken"]);
  const skim = { ...POUR, kind: "skimmed", no: 4 };
  assert.deepEqual(canTap(["poured"], [BREAK, POUR, skim]), ["undo skimmed"]);
});

test("a tap that the lab has answered says nothing more: the lab does", () => {
  assert.deepEqual(canTap(["poured"], [{ ...POUR, answer: KEPT }]), ["poured"]);
  assert.equal(sinceTapS(null, [{ ...POUR, answer: KEPT }], Date.parse(POUR.device_time)), null);
});

test("the clock runs from a pour that is on this device only, and stops when it is undone", () => {
  const now = Date.parse("2031-03-04T09:32:05.000Z");

  assert.equal(sinceTapS(null, [POUR], now), 125);
  assert.equal(sinceTapS(7, [], now), 7);
  assert.equal(sinceTapS(7, [NO_POUR], now), null);
});

test("only the last tap can stand set aside", () => {
  const aside = { ...POUR, answer: { word: "set aside", rule: "It is poured.", remedy: "" } };

  assert.equal(lastAside([aside]), aside);
  assert.equal(lastAside([aside, { ...BREAK, answer: KEPT }]), null);
  assert.equal(lastAside([]), null);
});

test("a span is said as a clock says it", () => {
  assert.equal(span(0), "0:00");
  assert.equal(span(125.9), "2:05");
  assert.equal(span(3725), "1:02:05");
});
