import assert from "node:assert/strict";
import { test } from "node:test";

import { byCoffee, callOf } from "../../../src/crustbreak/web/static/phone/coffee-table.js";

const BOWLS = [
  { code: "416", coffee: "arrival", own_call: null },
  { code: "753", coffee: "approved", own_call: "different" },
  { code: "231", coffee: "arrival", own_call: "different" },
  { code: "198", coffee: null, own_call: "different" },
];

test("bowls of one coffee stand together, and one without a name by its code", () => {
  const told = byCoffee(BOWLS).map(({ name, bowls }) => [name, bowls.map(({ code }) => code)]);

  assert.deepEqual(told, [
    ["arrival", ["416", "231"]],
    ["approved", ["753"]],
    ["198", ["198"]],
  ]);
});

test("the call of the table is the same at each of its bowls, or none", () => {
  assert.equal(callOf({ coffees: BOWLS }), "different");
  assert.equal(callOf({ coffees: BOWLS.slice(0, 1) }), null);
});
