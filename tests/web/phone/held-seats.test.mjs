import assert from "node:assert/strict";
import { test } from "node:test";

import { heldAt, isPast, keyOf } from "../../../src/crustbreak/web/static/phone/held-seats.js";

const DECIDED = { decided_at: "2031-03-04T12:00:00.000Z" };

function at(moment) {
  return Date.parse(moment);
}

test("a seat is kept until seven days after the decision", () => {
  assert.equal(isPast(DECIDED, at("2031-03-11T12:00:00.000Z")), false);
  assert.equal(isPast(DECIDED, at("2031-03-11T12:00:00.001Z")), true);
});

test("a seat of an undecided table is kept for good", () => {
  assert.equal(isPast({}, at("2099-01-01T00:00:00Z")), false);
  assert.equal(isPast({ decided_at: null }, at("2099-01-01T00:00:00Z")), false);
});

test("a phone whose clock runs a day ahead keeps its seats as long", () => {
  const seat = { ...DECIDED, offset: { ms: -24 * 3600 * 1000, trip: 20 } };

  assert.equal(isPast(seat, at("2031-03-12T12:00:00.000Z")), false);
  assert.equal(isPast(seat, at("2031-03-12T12:00:00.001Z")), true);
});

test("two seats of one table are two", () => {
  assert.notEqual(keyOf({ table: "t", seat: { id: "a" } }), keyOf({ table: "t", seat: { id: "b" } }));
});

test("of two seats at a table the one that another device took comes last", () => {
  const [given, own] = [
    { table: "t", key: "t/a", holds: false },
    { table: "t", key: "t/b" },
  ];

  assert.equal(heldAt([given, own], "t"), own);
  assert.equal(heldAt([given], "t"), given);
  assert.equal(heldAt([own], "u"), undefined);
});
