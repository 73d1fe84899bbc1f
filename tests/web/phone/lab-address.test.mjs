import assert from "node:assert/strict";
import { test } from "node:test";

import { originOf } from "../../../src/crustbreak/web/static/phone/lab-address.js";

const PAGE = { protocol: "http:", port: "8771" };

test("an address is taken with or without scheme, port and path", () => {
  const same = ["192.168.1.23", " 192.168.1.23:8771 ", "http://192.168.1.23", "192.168.1.23/#x"];

  for (const typed of same) assert.equal(originOf(typed, PAGE), "http://192.168.1.23:8771");
  assert.equal(originOf("192.168.1.23:9000", PAGE), "http://192.168.1.23:9000");
});

test("the scheme is the page's own, and a name serves as well as a number", () => {
  assert.equal(originOf("https://Lab.local", PAGE), "http://lab.local:8771");
  assert.equal(originOf("lab", { protocol: "https:", port: "" }), "https://lab");
  assert.equal(originOf("[fe80::1]", PAGE), "http://[fe80::1]:8771");
});

test("what is no address is refused", () => {
  const wrong = ["", "192.168.1", "192.168.1.256", "192.168.1.23.", "a b", "1.2.3.4:99999", "x@y"];

  for (const typed of wrong) assert.equal(originOf(typed, PAGE), null, typed);
});
