import assert from "node:assert/strict";
import { test } from "node:test";

// What a browser has, as far as the keys need it.
const kept = new Map();
const spoken = [];
globalThis.localStorage = {
  getItem: (name) => kept.get(name) ?? null,
  setItem: (name, value) => kept.set(name, value),
};
globalThis.SpeechSynthesisUtterance = class {
  constructor(text) {
    this.text = text;
  }
};
globalThis.speechSynthesis = { cancel() {}, speak: ({ text, lang }) => spoken.push([text, lang]) };

const played = [];
class Param {
  value = 0;
  setValueAtTime() {}
  linearRampToValueAtTime() {}
}
globalThis.AudioContext = class extends EventTarget {
  state = "suspended";
  currentTime = 0;
  destination = {};
  resume() {
    if (globalThis.isTouched) this.state = "running";
  }
  createGain() {
    return { gain: new Param(), connect: () => {} };
  }
  createOscillator() {
    const frequency = new Param();
    return { frequency, connect: (to) => to, start: () => played.push(frequency.value), stop() {} };
  }
};

const { CUES, announce, isOn, sayKey, turn, wake } =
  await import("../../../src/crustbreak/web/static/shared/cue-keys.js");
const BREAK = { work: "break", code: "482", cup: 3, due: 256 };

test("offers what this device can give, all of it off until it is wanted", () => {
  assert.deepEqual(CUES, ["sound", "voice"]);
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

test("gives each work its tone, and says so while the browser keeps it quiet", () => {
  turn("sound");
  assert.equal(sayKey("sound"), "Sound on: touch the page to hear it");

  globalThis.isTouched = true;
  wake();
  announce({ ...BREAK, cup: 5, due: 272 });
  announce({ ...BREAK, work: "skim", due: 380 });

  assert.equal(sayKey("sound"), "Sound on");
  // The first is heard at once when it is turned on.
  assert.equal(new Set(played).size, 3);
  turn("sound");
});

test("is remembered, and turned off by the same key", () => {
  assert.equal(kept.get("cue voice"), "on");
  turn("voice");
  assert.equal(isOn("voice"), false);
});
