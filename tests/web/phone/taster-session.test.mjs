import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { IDBFactory, IDBKeyRange } from "fake-indexeddb";

import { ClockOffsets } from "../../../src/crustbreak/web/static/phone/clock-offset.js";
import { IndexedDbStore } from "../../../src/crustbreak/web/static/phone/indexeddb-store.js";
import { TasterSession } from "../../../src/crustbreak/web/static/phone/taster-session.js";

const SEAT = { key: "t1/s1", table: "t1", seat: { id: "s1", taster: "Odile" }, grip: 1, token: "tok", secret: "sec" };
const STATE = {
  flight: "under way",
  now: "2025-03-04T05:06:07Z",
  since_pour_s: 60,
  seat: "tasting",
  holds: true,
  left_out: null,
};
const CELL = { place: "p1", cup: null, line: "flavor", round: "hot" };
const NAME = "p1//flavor/hot";

// A lab that can be away, refuse, set aside, and be put back to an earlier copy of itself.
class FakeLab {
  incarnation = null;
  life = "one";
  offsets = new ClockOffsets();
  addresses = [];
  typed = [];
  kept = new Map();
  batches = [];
  calls = [];
  trouble = null;
  state_ = STATE;
  wordOf = () => "kept";

  #answer(name, what) {
    this.calls.push(name);
    if (this.trouble) throw Object.assign(new Error("no answer"), this.trouble);
    this.incarnation = this.life;
    return structuredClone(what);
  }

  async state() {
    return this.#answer("state", this.state_);
  }

  async sheet() {
    const sheet = { ref: "ten_line/1", rounds: [], lines: [] };
    return this.#answer("sheet", { sheet, places: [], state: this.state_, entries: [...this.kept.values()] });
  }

  async send(entries) {
    this.batches.push(entries.map(({ grip, no }) => `${grip}.${no}`));
    const answers = entries.map((entry) => ({ id: entry.id, word: this.wordOf(entry), rule: "a rule", remedy: null }));
    const told = this.#answer("send", answers);
    entries.forEach((entry) => this.kept.set(entry.id, { ...entry, word: this.wordOf(entry) }));
    return told;
  }

  async sit() {
    return this.#answer("sit", { grip: 5 });
  }

  async find() {
    return false;
  }
}

let windows = [];

// The windows of one phone hear each other, and nobody else.
class Channel {
  onmessage = null;

  constructor() {
    windows.push(this);
  }

  postMessage(data) {
    windows.filter((each) => each !== this).forEach((each) => each.onmessage?.({ data }));
  }
}

async function openSession(lab, { seat = SEAT, store } = {}) {
  const timers = [];
  const session = new TasterSession({
    store: store ?? (await IndexedDbStore.open()),
    api: lab,
    seat,
    isRefused: false,
    channel: new Channel(),
    now: () => 0,
    isHidden: () => false,
    setTimer: (act, ms) => timers.push({ act, ms }),
    clearTimer: () => {},
  });
  await session.open();
  await settle();
  return session;
}

const settle = () => new Promise((resolve) => setTimeout(resolve, 30));

async function inStore(key = SEAT.key) {
  const store = await IndexedDbStore.open();
  return (await store.entries(key)).sort((a, b) => a.grip - b.grip || a.no - b.no);
}

beforeEach(() => {
  windows = [];
  globalThis.indexedDB = new IDBFactory();
  globalThis.IDBKeyRange = IDBKeyRange;
});

test("a mark is stored, numbered, sent and answered", async () => {
  const lab = new FakeLab();
  const session = await openSession(lab);

  await session.mark([{ ...CELL, value: 8 }]);
  await settle();

  const [stored] = await inStore();
  assert.deepEqual([stored.no, stored.value, stored.answer.word], [1, 8, "kept"]);
  assert.deepEqual(lab.batches, [["1.1"]]);
  assert.deepEqual(session.outbox.counts, { storing: 0, phone: 0, lab: 1, late: 0 });
});

test("nothing is sent, or counted as being on the phone, before the store says that it is down", async () => {
  const lab = new FakeLab();
  const store = await IndexedDbStore.open();
  const { promise: isDown, resolve: letGo } = Promise.withResolvers();
  const add = async (...asked) => {
    const numbers = await store.add(...asked);
    await isDown;
    return numbers;
  };
  const slow = new Proxy(store, {
    get: (_, name) => (name === "add" ? add : store[name].bind(store)),
  });
  const session = await openSession(lab, { store: slow });

  const marked = session.mark([{ ...CELL, value: 8 }]);
  await settle();
  const before = [session.outbox.counts, [...lab.batches]];
  letGo();
  await marked;
  await settle();

  assert.deepEqual(before, [{ storing: 1, phone: 0, lab: 0, late: 0 }, []]);
  assert.deepEqual(lab.batches, [["1.1"]]);
});

test("what the lab did not hear is sent by the next page that opens", async () => {
  const lab = new FakeLab();
  const session = await openSession(lab);
  lab.trouble = { status: 0 };
  await session.mark([{ ...CELL, value: 8 }]);
  await settle();
  assert.deepEqual([session.trouble, session.outbox.counts.phone], ["away", 1]);

  lab.trouble = null;
  const again = await openSession(lab, { seat: session.seat });

  assert.equal(again.told.marks.get(NAME), 8);
  assert.deepEqual(
    [...lab.kept.values()].map(({ no }) => no),
    [1],
  );
});

test("the highest device number and then the highest number decide what a cell says", async () => {
  const lab = new FakeLab();
  const said = (grip, no, value) => ({ ...CELL, id: `${grip}.${no}`, kind: "mark", grip, no, value });
  for (const entry of [said(2, 1, 7), said(1, 9, 6), said(1, 8, 5)]) lab.kept.set(entry.id, entry);

  const session = await openSession(lab, { seat: { ...SEAT, grip: 2 } });
  const before = session.told.marks.get(NAME);
  await session.mark([{ ...CELL, value: 8 }]);
  await settle();

  assert.deepEqual([before, session.told.marks.get(NAME)], [7, 8]);
  assert.deepEqual(lab.batches, [["2.2"]]);
});

test("a seat that another device took over is only read here, and still sends what it holds", async () => {
  const lab = new FakeLab();
  const session = await openSession(lab);
  lab.trouble = { status: 0 };
  await session.mark([{ ...CELL, value: 8 }]);

  lab.trouble = null;
  lab.state_ = { ...STATE, holds: false };
  await session.wake();
  await settle();

  assert.equal(session.isReadOnly, true);
  assert.equal(session.outbox.counts.phone, 0);
  assert.equal(lab.kept.size, 1);
  assert.equal((await (await IndexedDbStore.open()).seats())[0].holds, false);
});

test("a lab that was put back to an earlier copy is told all again", async () => {
  const lab = new FakeLab();
  const session = await openSession(lab);
  await session.mark([{ ...CELL, value: 8 }]);
  await session.mark([{ ...CELL, value: 9 }]);
  await settle();
  assert.deepEqual(lab.batches, [["1.1"], ["1.2"]]);

  lab.life = "two";
  lab.kept.clear();
  await session.look();
  await settle();

  assert.deepEqual(lab.batches.at(-1), ["1.1", "1.2"]);
  assert.deepEqual(
    [...lab.kept.values()].map(({ value }) => value),
    [8, 9],
  );
  assert.deepEqual(
    (await inStore()).map(({ answer }) => answer.lab),
    ["two", "two"],
  );
});

test("an answer from an earlier life of the lab is none after a reload either", async () => {
  const lab = new FakeLab();
  const session = await openSession(lab);
  await session.mark([{ ...CELL, value: 8 }]);
  await settle();

  lab.life = "two";
  lab.kept.clear();
  await openSession(lab, { seat: session.seat });

  assert.deepEqual(
    [...lab.kept.values()].map(({ no, value }) => [no, value]),
    [[1, 8]],
  );
});

test("a kept answer changes how far an entry has come, and nothing that it says", async () => {
  const lab = new FakeLab();
  const session = await openSession(lab);
  lab.trouble = { status: 0 };
  await session.mark([{ ...CELL, value: 8 }]);
  const [before] = await inStore();
  const marks = new Map(session.told.marks);

  lab.trouble = null;
  await session.wake();
  await settle();

  const [after] = await inStore();
  assert.deepEqual({ ...after, answer: null }, before);
  assert.deepEqual(session.told.marks, marks);
  assert.equal(after.answer.word, "kept");
});

test("an entry that is set aside counts no more and does not hold up the next", async () => {
  const lab = new FakeLab();
  lab.wordOf = ({ value }) => (value === 99 ? "set aside" : "kept");
  const session = await openSession(lab);

  await session.mark([{ ...CELL, value: 99 }]);
  await session.mark([{ ...CELL, round: "cold", value: 8 }]);
  await settle();

  assert.equal(session.told.marks.has(NAME), false);
  assert.equal(session.told.marks.get("p1//flavor/cold"), 8);
  assert.deepEqual(
    (await inStore()).map(({ value, answer }) => [value, answer.word]),
    [
      [99, "set aside"],
      [8, "kept"],
    ],
  );
  assert.equal(session.outbox.counts.phone, 0);
});

test("a batch that the lab cannot read is sent one by one, so that one bad entry holds up no other", async () => {
  const lab = new FakeLab();
  const session = await openSession(lab);
  lab.trouble = { status: 0 };
  await session.mark([{ ...CELL, value: 99 }]);
  await session.mark([{ ...CELL, value: 8 }]);
  await settle();
  const { send } = lab;
  lab.trouble = null;
  lab.send = async (entries) => {
    if (entries.some(({ value }) => value === 99)) throw Object.assign(new Error("unreadable"), { status: 422 });
    return send.call(lab, entries);
  };

  for (let tries = 0; tries < 3; tries += 1) await session.outbox.nudge();

  assert.deepEqual(
    [...lab.kept.values()].map(({ value }) => value),
    [8],
  );
  assert.equal(session.outbox.counts.phone, 1);
});

test("a lab that knows this phone no more is asked once in each of its lives to take it back", async () => {
  const lab = new FakeLab();
  const session = await openSession(lab);
  lab.life = lab.incarnation = "two";
  lab.trouble = { status: 401, said: { message: "Not known." } };

  await session.look();
  await session.look();

  assert.equal(session.trouble, "stranger");
  assert.equal(lab.calls.filter((name) => name === "sit").length, 1);
});

test("a page of the Wi-Fi's own that refuses is a lab that is away", async () => {
  const lab = new FakeLab();
  const session = await openSession(lab);
  lab.trouble = { status: 403, said: null };

  await session.look();

  assert.equal(session.trouble, "away");
});

test("two windows of one phone show the same marks", async () => {
  const lab = new FakeLab();
  const [one, other] = [await openSession(lab), await openSession(lab)];

  await one.mark([{ ...CELL, value: 8 }]);
  await settle();
  await other.mark([{ ...CELL, value: 9 }]);
  await settle();

  assert.deepEqual([one.told.marks.get(NAME), other.told.marks.get(NAME)], [9, 9]);
  assert.deepEqual(
    (await inStore()).map(({ no, value }) => [no, value]),
    [
      [1, 8],
      [2, 9],
    ],
  );
});

test("a mark that is said already, or a second hand-in, is no new entry", async () => {
  const session = await openSession(new FakeLab());

  for (const value of [8, 8, 9]) await session.mark([{ ...CELL, value }]);
  await session.handIn();
  await session.handIn();

  assert.deepEqual(
    (await inStore()).map(({ kind }) => kind),
    ["mark", "mark", "hand_in"],
  );
  assert.equal(session.isHandedIn, true);
});
