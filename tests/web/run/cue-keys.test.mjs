import assert from "node:assert/strict";
import { test } from "node:test";

// What a browser has, as far as the keys need it.
const kept = new Map();
const spoken = [];
globalThis.localStorage = { getItem: (name) => kept.get(name) ?? null, setItem: (name, value) => kept.set(name, value) };
globalThis.SpeechSynthesisUtterance = class {
  constructor(text) {
    this.text = text;
  }
};
globalThis.speechSynthesis = { cancel() {}, speak: ({ text, lang }) => spoken.push([text, lang]) };

const { CUES, announce, isOn, sayKey, turn } = await import(
  "../../../src/crustbreak/web/static/run/cue-keys.js"
);
const BREAK = { work: "break", code: "482", cup: 3, due: 256 };

test("offers what this device can give, all of it off until it is wanted", () => {
  assert.deepEqual(CUES, ["voice"]);
  assert.deepEqual([isOn("sound"), isOn("voice"), sayKey("voice")], [false, false, "Voice off"]);

  announce({ ...BREAK, cup: 1 });
  assert.deepEqual(spoken, []);
});

test("says each bowl once, in words, when it falls due", () => {
  turn("voice");
  announce(BREAK);
  announce(BREAK);
  announce(null);
  announce({ ...BREAK, cup: 4, due: 264 });

  assert.equal(sayKey("voice"), "Voice on");
  assert.deepEqual(spoken, [
    ["Voice on", "en-GB"],
    ["Break 4 8 2, bowl 3", "en-GB"],
    ["Break 4 8 2, bowl 4", "en-GB"],
  ]);
});

test("is remembered, and turned off by the same key", () => {
  assert.equal(kept.get("cue voice"), "on");
  turn("voice");
  assert.equal(isOn("voice"), false);
});
