import assert from "node:assert/strict";
import { test } from "node:test";

import { listed } from "../../../src/crustbreak/web/static/phone/open-lines.js";

function open(code, count) {
  const place = { id: code, code };
  return Array.from({ length: count }, (_, nth) => ({ place, line: { title: `Line ${nth}` } }));
}

test("a few open lines are named one by one", () => {
  assert.deepEqual(listed(open("A", 2)), [
    ["line 0 of A", 0],
    ["line 1 of A", 1],
  ]);
});

test("many are counted by code, each leading to the first of them", () => {
  const many = [...open("A", 12), ...open("B", 1), ...open("C", 9)];

  assert.deepEqual(listed(many), [
    ["A, 12 lines", 0],
    ["B, 1 line", 12],
    ["C, 9 lines", 13],
  ]);
});
