import assert from "node:assert/strict";
import { test } from "node:test";

import { fold } from "../../../src/crustbreak/web/static/shared/marks.js";
import { Outbox } from "../../../src/crustbreak/web/static/phone/outbox.js";
import { MemoryStore } from "../../../src/crustbreak/web/static/phone/memory-store.js";

const SEAT = { key: "t1/s1", grip: 1 };
const MARK = { place: "a", line: "flavor", round: "hot", value: 8 };

// Stores as a phone does, or refuses when told to.
class FakeStore {
  kept = new Map();
  last = 0;
  isFull = false;

  async add(_seat, entries, floor) {
    await null;
    if (this.isFull) throw new Error("full");
    const first = Math.max(this.last, floor) + 1;
    this.last = first + entries.length - 1;
    entries.forEach((entry, index) => this.kept.set(entry.id, { ...entry, no: first + index }));
    return entries.map((_, index) => first + index);
  }

  async put(...entries) {
    entries.forEach((entry) => this.kept.set(entry.id, { ...entry }));
  }

  async entries() {
    return [...this.kept.values()].map((entry) => ({ ...entry }));
  }
}

// A lab that takes down what it is sent; `answer` can be replaced by one that fails.
class FakeLab {
  batches = [];
  answer = (entries) => entries.map(({ id }) => ({ id, word: "kept", rule: null, remedy: null }));

  post = async (entries) => {
    this.batches.push(entries);
    return this.answer(entries);
  };

  numbers() {
    return this.batches.map((batch) => batch.map(({ no }) => no));
  }
}

function refusing(status = 0) {
  return () => {
    throw Object.assign(new Error("no answer"), { status });
  };
}

function setUp({ store = new FakeStore(), lab = new FakeLab() } = {}) {
  const timers = [];
  let made = 0;
  const outbox = new Outbox({
    store,
    seat: SEAT,
    post: lab.post,
    newId: () => (made += 1).toString(16).padStart(32, "0"),
    now: () => new Date("2025-03-04T05:06:07Z"),
    chance: () => 0,
    setTimer: (act, ms) => timers.push({ act, ms }),
  });
  outbox.sheetRef = "ten_line/1";
  return { outbox, store, lab, timers };
}

// Let everything that waits for nothing but its turn go on.
const settle = () => new Promise((resolve) => setTimeout(resolve, 5));

test("an entry is sent with exactly what the lab asks for", async () => {
  const { outbox, lab } = setUp();

  await outbox.record([MARK]);

  assert.deepEqual(lab.batches[0], [
    {
      id: "00000000000000000000000000000001",
      grip: 1,
      no: 1,
      kind: "mark",
      sheet: "ten_line/1",
      place: "a",
      cup: null,
      line: "flavor",
      round: "hot",
      value: 8,
      device_time: "2025-03-04T05:06:07.000Z",
    },
  ]);
});

test("an entry counts here once it is stored, and in the lab once it is answered", async () => {
  const { outbox, lab } = setUp();
  let release;
  lab.answer = (entries) =>
    new Promise((resolve) => {
      release = () => resolve(entries.map(({ id }) => ({ id, word: "kept" })));
    });

  const recorded = outbox.record([MARK]);
  assert.deepEqual(outbox.counts, { storing: 1, phone: 0, lab: 0, late: 0 });
  assert.equal(outbox.isUnsafe, true);
  await recorded;
  assert.deepEqual(outbox.counts, { storing: 0, phone: 1, lab: 0, late: 0 });
  assert.equal(outbox.isUnsafe, false);
  release();
  await settle();
  assert.deepEqual(outbox.counts, { storing: 0, phone: 0, lab: 1, late: 0 });
});

test("entries go by number, a hundred at a time, one batch in flight", async () => {
  const { outbox, lab, timers } = setUp();
  lab.answer = refusing();
  await outbox.record(Array.from({ length: 150 }, () => MARK));
  await settle();
  lab.batches.length = 0;
  lab.answer = new FakeLab().answer;

  timers.at(-1).act();
  outbox.nudge();
  await settle();

  assert.deepEqual(
    lab.numbers().map((batch) => [batch[0], batch.at(-1)]),
    [
      [1, 100],
      [101, 150],
    ],
  );
});

test("no answer keeps all and tries again, each time a little later", async () => {
  const { outbox, lab, timers } = setUp();
  lab.answer = refusing(503);
  await outbox.record([MARK]);
  await settle();
  timers.at(-1).act();
  await settle();

  assert.deepEqual(
    timers.map(({ ms }) => ms),
    [1000, 2000],
  );
  assert.equal(outbox.counts.phone, 1);
});

test("an entry that the lab did not name is not answered", async () => {
  const { outbox, lab, timers } = setUp();
  lab.answer = (entries) => [{ id: entries[0].id, word: "kept" }];
  await outbox.record([MARK, MARK]);
  await settle();

  assert.deepEqual(lab.numbers(), [[1, 2], [2]]);
  lab.answer = () => [];
  await outbox.record([MARK]);
  await settle();
  assert.equal(timers.length, 1);
  assert.deepEqual(outbox.counts, { storing: 0, phone: 1, lab: 2, late: 0 });
});

test("a bad entry never holds up the next", async () => {
  const { outbox, lab, timers } = setUp();
  lab.answer = (entries) => (entries.some(({ no }) => no === 2) ? refusing(422)() : new FakeLab().answer(entries));
  await outbox.record([MARK, MARK, MARK]);
  for (let tries = 0; tries < 4; tries += 1) {
    await settle();
    timers.at(-1).act();
  }
  await settle();

  assert.deepEqual(outbox.counts, { storing: 0, phone: 1, lab: 2, late: 0 });
  assert.equal(outbox.entries.find(({ answer }) => answer === null).no, 2);
});

test("an entry set aside keeps its rule and remedy and is not sent again", async () => {
  const { outbox, lab, store } = setUp();
  const aside = { word: "set aside", rule: "it lies from 6 to 10", remedy: "Choose a point." };
  lab.answer = (entries) => entries.map(({ id }) => ({ id, ...aside }));
  await outbox.record([MARK]);
  await settle();
  await outbox.nudge();

  assert.equal(lab.batches.length, 1);
  assert.deepEqual((await store.entries())[0].answer, { ...aside, lab: undefined });
});

test("a reload finds what was stored and sends what was not answered", async () => {
  const store = new FakeStore();
  const before = setUp({ store });
  before.lab.answer = refusing();
  await before.outbox.record([MARK, { ...MARK, value: 8.25 }]);
  await settle();

  const { outbox, lab } = setUp({ store });
  await outbox.reread();
  await outbox.nudge();

  assert.deepEqual(lab.numbers(), [[1, 2]]);
  assert.equal(fold(outbox.entries).marks.get("a//flavor/hot"), 8.25);
});

test("the lab's own list answers for entries here, and numbers go on above it", async () => {
  const { outbox, lab } = setUp();
  lab.answer = refusing();
  await outbox.record([MARK]);
  await settle();
  lab.answer = new FakeLab().answer;
  const [mine] = outbox.entries;

  outbox.merge([
    { ...mine, held: undefined, answer: undefined },
    { ...mine, id: "f".repeat(32), no: 7, value: 9 },
  ]);
  await outbox.record([{ ...MARK, value: 6 }]);

  assert.equal(outbox.entries.at(-1).no, 8);
  assert.equal(outbox.entries.length, 3);
  await settle();
  assert.deepEqual(outbox.counts, { storing: 0, phone: 0, lab: 3, late: 0 });
});

test("another window's entries are found, and its answers", async () => {
  const store = new FakeStore();
  const [one, two] = [setUp({ store }), setUp({ store })];
  one.lab.answer = refusing();
  await one.outbox.record([MARK]);
  await two.outbox.reread();
  await two.outbox.nudge();

  await one.outbox.reread();

  assert.deepEqual(one.outbox.counts, { storing: 0, phone: 0, lab: 1, late: 0 });
});

test("a phone that refuses to store says so and still sends", async () => {
  const { outbox, store, lab } = setUp();
  await outbox.record([MARK]);
  store.isFull = true;

  await outbox.record([{ ...MARK, value: 7 }]);
  await settle();

  assert.equal(outbox.isRefused, true);
  assert.deepEqual(lab.numbers(), [[1], [2]]);
  assert.equal(outbox.isUnsafe, false);
});

test("without a store, what is not in the lab yet is unsafe", async () => {
  const { outbox, store, lab } = setUp();
  store.isFull = true;
  lab.answer = refusing();

  await outbox.record([MARK]);
  await settle();

  assert.equal(outbox.isUnsafe, true);
});

test("a phone that keeps nothing waits for the lab's numbers before it gives its own", async () => {
  const lab = new FakeLab();
  const outbox = new Outbox({ store: new MemoryStore(), seat: SEAT, post: lab.post, isRefused: true });

  const said = outbox.record([MARK]);
  await settle();
  const before = lab.batches.length;
  outbox.merge([{ id: "x", grip: 1, no: 7, kind: "mark", ...MARK, value: 6, word: "kept" }]);
  await said;
  await settle();

  assert.equal(before, 0);
  assert.deepEqual(lab.numbers(), [[8]]);
});

test("two that are stored while the phone begins to refuse get two numbers", async () => {
  const { outbox, store } = setUp();
  let calls = 0;
  const add = store.add.bind(store);
  store.add = async (...given) => {
    calls += 1;
    if (calls === 2) throw new Error("full");
    await settle();
    return add(...given);
  };

  await Promise.all([outbox.record([MARK]), outbox.record([{ kind: "hand_in" }])]);

  assert.deepEqual(
    outbox.entries.map(({ no }) => no),
    [1, 2],
  );
});

test("what the lab took as late stays late after a reload", () => {
  const { outbox } = setUp();

  outbox.merge([{ id: "x", grip: 1, no: 1, kind: "mark", ...MARK, word: "kept late" }]);

  assert.equal(outbox.counts.late, 1);
  assert.equal("word" in outbox.entries[0], false);
});

test("a lab put back to an earlier copy is told everything again, with the numbers as they were", async () => {
  const { outbox, lab } = setUp();
  await outbox.record([MARK, { ...MARK, value: 7 }]);
  await settle();

  outbox.restart({ ...SEAT, incarnation: "second" });
  await outbox.nudge();
  await outbox.record([{ ...MARK, value: 6 }]);
  await settle();

  assert.deepEqual(lab.numbers(), [[1, 2], [1, 2], [3]]);
  assert.deepEqual(lab.batches[1][0], lab.batches[0][0]);
});

test("an answer that an earlier lab gave is none after a reload", async () => {
  const store = new FakeStore();
  const before = setUp({ store });
  await before.outbox.record([MARK]);
  await settle();

  const { outbox, lab } = setUp({ store });
  outbox.seat = { ...SEAT, incarnation: "second" };
  await outbox.reread();
  await outbox.nudge();
  await outbox.reread();

  assert.deepEqual(lab.numbers(), [[1]]);
  assert.equal(outbox.counts.lab, 1);
});

test("what another device of the seat said is kept on this phone too, and is sent to no one", async () => {
  const { outbox, lab, store } = setUp();

  outbox.merge([{ id: "e".repeat(32), grip: 1, no: 4, kind: "mark", ...MARK, word: "kept" }]);
  await outbox.nudge();
  await settle();

  assert.equal(lab.batches.length, 0);
  assert.equal((await store.entries())[0].value, 8);
});

test("a disk that fills up in the middle loses nothing that was said", async () => {
  const { outbox, store, lab } = setUp();
  lab.answer = refusing();
  await outbox.record([MARK]);
  store.add = async () => {
    throw Object.assign(new Error("full"), { name: "QuotaExceededError" });
  };

  await outbox.record([{ ...MARK, value: 9 }]);

  assert.equal(fold(outbox.entries).marks.get("a//flavor/hot"), 9);
  assert.deepEqual(
    outbox.entries.map(({ no }) => no),
    [1, 2],
  );
  assert.equal(outbox.isUnsafe, true);
});
