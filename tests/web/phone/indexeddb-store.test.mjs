import assert from "node:assert/strict";
import { beforeEach, test } from "node:test";

import { IDBFactory, IDBKeyRange } from "fake-indexeddb";

import { IndexedDbStore } from "../../../src/crustbreak/web/static/phone/indexeddb-store.js";

const SEAT = { key: "t1/s1", grip: 1 };
const LATER = { key: "t1/s1", grip: 2 };
const OTHER = { key: "t1/s10", grip: 1 };

let opened = [];

// A phone's database, empty, that remembers its connections and can hold back that a transaction
// is complete.
class Phone {
  #factory = new IDBFactory();
  gate = Promise.resolve();

  open(name, version) {
    const request = this.#factory.open(name, version);
    request.addEventListener("success", () => opened.push(request.result));
    return forwarding(request, { result: () => this.#late(request.result) });
  }

  #late(db) {
    return forwarding(db, {
      transaction:
        () =>
        (...asked) =>
          forwarding(db.transaction(...asked), {}, { oncomplete: this.#hold }),
    });
  }

  #hold = (told) => async (event) => {
    await this.gate;
    told(event);
  };

  holdBack() {
    const { promise, resolve } = Promise.withResolvers();
    this.gate = promise;
    return resolve;
  }
}

// An object as it is, but for some of what is read of it and set on it.
function forwarding(target, read, set = {}) {
  return new Proxy(target, {
    get: (_, name) => {
      if (read[name]) return read[name]();
      return typeof target[name] === "function" ? target[name].bind(target) : target[name];
    },
    set: (_, name, value) => {
      target[name] = set[name] ? set[name](value) : value;
      return true;
    },
  });
}

function entry(id, { key, grip } = SEAT) {
  return { id, held: key, grip, kind: "mark", value: 8, answer: null };
}

async function held(store, key = SEAT.key) {
  const found = await store.entries(key);
  return found.map(({ id, grip, no }) => [id, grip, no]).sort();
}

const settle = () => new Promise((resolve) => setTimeout(resolve, 20));

beforeEach(() => {
  opened = [];
  globalThis.indexedDB = new Phone();
  globalThis.IDBKeyRange = IDBKeyRange;
});

test("an entry is acknowledged only once its transaction is complete", async () => {
  const store = await IndexedDbStore.open();
  const letGo = indexedDB.holdBack();
  let numbers = null;

  const added = store.add(SEAT, [entry("a")], 0).then((given) => (numbers = given));
  await settle();
  const before = numbers;
  letGo();
  await added;

  assert.deepEqual([before, numbers], [null, [1]]);
});

test("a number is allotted by the transaction that stores the entry", async () => {
  const store = await IndexedDbStore.open();

  assert.deepEqual(await store.add(SEAT, [entry("a"), entry("b")], 0), [1, 2]);
  assert.deepEqual(await store.add(SEAT, [entry("c")], 0), [3]);
  assert.deepEqual(await held(store), [
    ["a", 1, 1],
    ["b", 1, 2],
    ["c", 1, 3],
  ]);
});

test("two windows at the same time never give the same number", async () => {
  const [one, other] = [await IndexedDbStore.open(), await IndexedDbStore.open()];

  const given = await Promise.all([
    one.add(SEAT, [entry("a"), entry("b")], 0),
    other.add(SEAT, [entry("c")], 0),
    one.add(SEAT, [entry("d")], 0),
    other.add(SEAT, [entry("e"), entry("f")], 0),
  ]);

  assert.deepEqual(given.flat().sort(), [1, 2, 3, 4, 5, 6]);
  assert.equal(new Set((await held(one)).map(([, , no]) => no)).size, 6);
});

test("a batch that cannot be stored takes no number and leaves nothing behind", async () => {
  const store = await IndexedDbStore.open();
  await store.add(SEAT, [entry("a")], 0);

  await assert.rejects(store.add(SEAT, [entry("b"), entry("a")], 0), { name: "ConstraintError" });

  assert.deepEqual(await held(store), [["a", 1, 1]]);
  assert.deepEqual(await store.add(SEAT, [entry("c")], 0), [2]);
});

test("numbers go on above what the lab has of this device", async () => {
  const store = await IndexedDbStore.open();

  assert.deepEqual(await store.add(SEAT, [entry("a")], 7), [8]);
  assert.deepEqual(await store.add(SEAT, [entry("b")], 3), [9]);
});

test("a device that takes a seat over counts from 1 within its own number", async () => {
  const store = await IndexedDbStore.open();
  await store.add(SEAT, [entry("a"), entry("b")], 0);

  assert.deepEqual(await store.add(LATER, [entry("c", LATER)], 0), [1]);
  assert.deepEqual(await store.add(SEAT, [entry("d")], 0), [3]);
  assert.deepEqual(await held(store), [
    ["a", 1, 1],
    ["b", 1, 2],
    ["c", 2, 1],
    ["d", 1, 3],
  ]);
});

test("an answer is put beside its entry and changes nothing else", async () => {
  const store = await IndexedDbStore.open();
  await store.add(SEAT, [entry("a")], 0);
  const [stored] = await store.entries(SEAT.key);

  await store.put({ ...stored, answer: { word: "kept", lab: "one" } });

  assert.deepEqual(await store.entries(SEAT.key), [{ ...stored, answer: { word: "kept", lab: "one" } }]);
});

test("a seat that is taken off leaves the others, however alike their keys", async () => {
  const store = await IndexedDbStore.open();
  for (const seat of [SEAT, OTHER]) {
    await store.putSeat(seat);
    await store.add(seat, [entry(seat.key, seat)], 0);
  }

  await store.clear(SEAT.key);

  assert.deepEqual(await store.seats(), [OTHER]);
  assert.deepEqual(await held(store), []);
  assert.deepEqual(await held(store, OTHER.key), [[OTHER.key, 1, 1]]);
  assert.deepEqual(await store.add(SEAT, [entry("b")], 0), [1]);
  assert.deepEqual(await store.add(OTHER, [entry("c", OTHER)], 0), [2]);
});

test("what was stored is there when the page is opened again", async () => {
  const before = await IndexedDbStore.open();
  await before.putSeat(SEAT);
  await before.add(SEAT, [entry("a")], 0);

  const after = await IndexedDbStore.open();

  assert.deepEqual(await after.seats(), [SEAT]);
  assert.deepEqual(await held(after), [["a", 1, 1]]);
  assert.deepEqual(await after.add(SEAT, [entry("b")], 0), [2]);
});

test("a database that was closed under the page is opened once more", async () => {
  const store = await IndexedDbStore.open();
  await store.add(SEAT, [entry("a")], 0);
  opened[0].close();

  assert.deepEqual(await store.add(SEAT, [entry("b")], 0), [2]);
  assert.equal(opened.length, 2);
});

test("the store tells whether it keeps, and leaves no trace of trying", async () => {
  const store = await IndexedDbStore.open();

  assert.equal(await store.keeps(), true);
  assert.deepEqual(await store.add(SEAT, [entry("a")], 0), [1]);
  assert.equal((await held(store)).length, 1);
});

test("a phone without a database says so", async () => {
  globalThis.indexedDB = {
    open() {
      throw new Error("refused");
    },
  };

  await assert.rejects(IndexedDbStore.open(), /refused/);
});
