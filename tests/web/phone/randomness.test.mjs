import assert from "node:assert/strict";
import { test } from "node:test";

import { pauseMs, randomId } from "../../../src/crustbreak/web/static/phone/randomness.js";

test("waiting stays between 1 and 15 seconds, however often it failed", () => {
  for (let failures = 1; failures <= 40; failures += 1) {
    for (const chance of [0, 0.5, 0.999]) {
      const pause = pauseMs(failures, () => chance);
      assert.ok(pause >= 1000 && pause <= 15000, `${failures} failures: ${pause} ms`);
    }
  }
});

test("waiting grows with the failures and differs between phones", () => {
  assert.deepEqual(
    [1, 2, 3].map((failures) => pauseMs(failures, () => 0)),
    [1000, 2000, 4000],
  );
  assert.notEqual(
    pauseMs(9, () => 0.1),
    pauseMs(9, () => 0.9),
  );
});

test("an id is 32 hex digits and another each time", () => {
  const ids = new Set(Array.from({ length: 50 }, randomId));

  assert.equal(ids.size, 50);
  assert.ok([...ids].every((id) => /^[0-9a-f]{32}$/.test(id)));
});
