import assert from "node:assert/strict";
import { test } from "node:test";

import { ALL_WELL, checkText, checkPhone } from "../../../src/crustbreak/web/static/phone/phone-check.js";

const NEVER = new Promise(() => {});
const WELL = {
  keeps: async () => true,
  hears: Promise.resolve(),
  offsets: { best: { ms: -1500.4, trip: 12 } },
  wait: () => NEVER,
};

test("a phone that is all right says so", async () => {
  const found = await checkPhone(WELL);

  assert.deepEqual(found, { keeps: true, streams: true, round_trip_ms: 12, offset_ms: -1500 });
  assert.equal(checkText(found), ALL_WELL);
});

test("a store that fails keeps nothing", async () => {
  const keeps = async () => {
    throw new Error("full");
  };

  const found = await checkPhone({ ...WELL, keeps });

  assert.equal(found.keeps, false);
  assert.match(checkText(found), /cannot keep marks/);
});

test("a stream that says nothing in time is not heard", async () => {
  const found = await checkPhone({ ...WELL, hears: NEVER, wait: async () => {} });

  assert.equal(found.streams, false);
  assert.match(checkText(found), /comes late/);
});

test("slow is said before anything that only slows", () => {
  const slow = { keeps: true, streams: false, round_trip_ms: 1200, offset_ms: 0 };

  assert.match(checkText(slow), /Slow Wi-Fi/);
});
