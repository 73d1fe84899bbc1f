import assert from "node:assert/strict";
import { test } from "node:test";

import { EventReader, EventStream } from "../../../src/crustbreak/web/static/phone/event-stream.js";

const SAID = ": awake\n\nevent: look\ndata: {}\n\ndata: 1\n\nevent: look\n\n";
const settle = () => new Promise((resolve) => setTimeout(resolve, 5));

function readIn(pieces) {
  const reader = new EventReader();
  return pieces.flatMap((piece) => reader.read(piece));
}

test("events are read, comments and events without data are passed over", () => {
  assert.deepEqual(readIn([SAID]), ["look", "message"]);
});

test("the text may come cut anywhere, with any line ends", () => {
  for (const said of [SAID, SAID.replaceAll("\n", "\r\n"), SAID.replaceAll("\n", "\r")]) {
    // A single return at the very end may be half of a line end: the next piece shows it.
    const whole = `${said}:\n`;
    for (let cut = 0; cut <= whole.length; cut += 1) {
      const kinds = readIn([whole.slice(0, cut), whole.slice(cut)]);
      assert.deepEqual(kinds, ["look", "message"], `cut at ${cut}`);
    }
    assert.deepEqual(readIn([...whole]), ["look", "message"]);
  }
});

test("a blank after the colon belongs to the line, not to the value", () => {
  assert.deepEqual(readIn(["event:look\ndata:\n\n", "event: look\ndata: x\n\n"]), ["look", "look"]);
});

// A lab whose streams a test writes and ends.
function setUp() {
  const heard = { looks: 0, turns: [], timers: [], opened: [] };
  const stream = new EventStream({
    open: async (signal) => {
      if (heard.isAway) throw new Error("away");
      const line = new TransformStream();
      const writer = line.writable.getWriter();
      heard.opened.push({ writer, signal });
      signal.addEventListener("abort", () => writer.abort().catch(() => {}));
      return { body: line.readable };
    },
    look: () => (heard.looks += 1),
    turned: () => heard.turns.push(stream.isOpen),
    chance: () => 0,
    setTimer: (act, ms) => heard.timers.push({ act, ms }),
    clearTimer: () => {},
  });
  heard.say = (text) => heard.opened.at(-1).writer.write(new TextEncoder().encode(text));
  return { stream, heard };
}

test("each word of the lab is a look", async () => {
  const { stream, heard } = setUp();
  stream.start();
  await settle();

  heard.say(": awake\n\n");
  await settle();
  heard.say("event: look\nda");
  heard.say("ta: {}\n\n");
  await settle();

  assert.equal(heard.looks, 1);
  assert.deepEqual(heard.turns, [true]);
  stream.stop();
});

test("a stream that breaks is tried again after a pause", async () => {
  const { stream, heard } = setUp();
  stream.start();
  await settle();
  heard.say(":\n\n");
  await settle();

  heard.opened[0].writer.close();
  await settle();
  const pause = heard.timers.at(-1);
  pause.act();
  await settle();

  assert.equal(pause.ms, 1000);
  assert.deepEqual(heard.turns, [true, false, true]);
  assert.equal(heard.opened.length, 2);
  stream.stop();
});

test("a lab that is away is tried later and later", async () => {
  const { stream, heard } = setUp();
  heard.isAway = true;

  stream.start();
  await settle();
  heard.timers.at(-1).act();
  await settle();

  assert.deepEqual(
    heard.timers.map(({ ms }) => ms),
    [1000, 2000],
  );
});

test("a stream that was stopped stays so", async () => {
  const { stream, heard } = setUp();
  stream.start();
  await settle();
  const before = heard.timers.length;

  stream.stop();
  await settle();

  assert.equal(heard.opened[0].signal.aborted, true);
  assert.equal(heard.timers.length, before);
});

test("a stream that has gone silent is given up", async () => {
  const { stream, heard } = setUp();
  stream.start();
  await settle();
  const silence = heard.timers.at(-1);

  silence.act();
  await settle();

  assert.equal(silence.ms, 40_000);
  assert.equal(heard.opened[0].signal.aborted, true);
  assert.equal(heard.timers.at(-1).ms, 1000);
});
