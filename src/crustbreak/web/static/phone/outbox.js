// All that this phone says, and how far each entry has come. An entry is stored, then counted,
// then sent in the order of its numbers, one batch in flight, and again until the lab answers
// for it. Anything but an answer for an entry is no answer. Nothing is ever taken out. An answer
// holds for the lab that gave it: one that was put back to an earlier copy is told all again.

import { pauseMs, randomId } from "./randomness.js";
import { inOrder } from "../shared/marks.js";
import { saveDraft, readDraft } from "./drafts.js";
import { MemoryStore } from "./memory-store.js";

const BATCH = 100;
// The lab could not read what was sent: one entry alone may be to blame.
const UNREADABLE = new Set([400, 413, 422]);

const WORLD = {
  // The phone would not store: what is said goes straight to the lab.
  isRefused: false,
  newId: randomId,
  now: () => new Date(),
  chance: Math.random,
  setTimer: (act, ms) => setTimeout(act, ms),
  clearTimer: (timer) => clearTimeout(timer),
};

export class Outbox extends EventTarget {
  store = null;
  seat = null;
  post = null;
  isRefused = false;
  newId = null;
  now = null;
  chance = null;
  setTimer = null;
  clearTimer = null;
  entries = [];
  // Which sheet the person sees: known once it has come.
  sheetRef = "";

  #floor = 0;
  #failures = 0;
  #timer = null;
  #isSending = false;
  #limit = BATCH;
  #passed = new Set();
  #isBlank = false;
  #storing = Promise.resolve();
  #heard = null;
  #merged = new Promise((resolve) => (this.#heard = resolve));

  // post: sends a batch and gives the answers. Ids, time, chance and the timer are the world's,
  // unless a test brings its own.
  constructor({ store, seat, post, ...world }) {
    super();
    Object.assign(this, { store, seat, post, ...WORLD, ...world });
    // What was numbered after the store had refused is in no store.
    this.#floor = Number(readDraft(this.#lastName) ?? 0);
    this.#isBlank = this.isRefused;
  }

  // What the phone holds comes first; another window of this phone may have added to it.
  async reread() {
    if (this.isRefused) return;
    try {
      const held = await this.store.entries(this.seat.key);
      const known = new Map(this.entries.map((entry) => [entry.id, entry]));
      for (const entry of held) {
        const mine = known.get(entry.id);
        if (entry.answer?.lab !== this.seat.incarnation) entry.answer = null;
        if (!mine) this.entries.push(entry);
        else mine.answer ??= entry.answer;
      }
    } catch {
      this.#refuse();
    }
    this.#changed();
  }

  // What the lab has kept of this seat: an answer for entries held here, and new otherwise. What
  // another device said is kept here as well: this one may be the last to have it.
  merge(kept) {
    const mine = new Map(this.entries.map((entry) => [entry.id, entry]));
    const news = [];
    for (const { word = "kept", ...entry } of kept) {
      if (entry.grip === this.seat.grip) this.#floor = Math.max(this.#floor, entry.no);
      const held = mine.get(entry.id) ?? { ...entry, held: this.seat.key, answer: null };
      if (!mine.has(entry.id)) this.entries.push(held);
      if (held.answer) continue;
      held.answer = { word, lab: this.seat.incarnation };
      news.push(held);
    }
    this.#keep(news);
    this.#heard();
    this.#changed();
  }

  // The lab was put back to an earlier copy: what it answered before holds no more.
  restart(seat) {
    this.seat = seat;
    this.#passed.clear();
    for (const entry of this.entries) entry.answer = null;
    this.#changed();
  }

  // Give the entries to the phone's store; they count once it says that they are down.
  async record(drafts) {
    const made = drafts.map((draft) => this.#entry(draft));
    this.entries.push(...made);
    this.#changed();
    // One after the other: a store that fails must know which numbers are gone.
    this.#storing = this.#storing.then(() => this.#number(made));
    await this.#storing;
    this.#changed();
    this.#stored();
    this.nudge();
  }

  get counts() {
    const waiting = this.entries.filter((entry) => !entry.answer);
    return {
      storing: waiting.filter((entry) => entry.no === null).length,
      phone: waiting.filter((entry) => entry.no !== null).length,
      lab: this.entries.filter((entry) => entry.answer?.word.startsWith("kept")).length,
      late: this.entries.filter((entry) => entry.answer?.word === "kept late").length,
    };
  }

  // Leaving now would lose something.
  get isUnsafe() {
    const { storing, phone } = this.counts;
    return storing > 0 || (this.isRefused && phone > 0);
  }

  // Send at once what waits: something new, the focus, or the network is back.
  async nudge() {
    this.clearTimer(this.#timer);
    if (this.#isSending) return;
    this.#isSending = true;
    try {
      for (let batch = this.#batch(); batch.length > 0; batch = this.#batch()) {
        await this.#sendOne(batch);
      }
    } catch {
      this.#failures += 1;
      this.#timer = this.setTimer(() => this.nudge(), pauseMs(this.#failures, this.chance));
    } finally {
      this.#isSending = false;
    }
  }

  async #sendOne(batch) {
    const answers = await this.post(batch.map(asSent)).catch((error) => {
      this.#single(batch, error.status);
      throw error;
    });
    const mine = new Map(batch.map((entry) => [entry.id, entry]));
    const taken = answers.filter((answer) => mine.has(answer.id) && answer.word);
    for (const { id, ...answer } of taken) {
      mine.get(id).answer = { ...answer, lab: this.seat.incarnation };
    }
    this.#keep(taken.map(({ id }) => mine.get(id)));
    this.#changed();
    if (taken.length === 0) throw new Error("no entry of the batch was answered");
    this.#failures = 0;
    this.#limit = BATCH;
  }

  // A bad entry never holds up the next: go one by one, and pass over the one that fails alone.
  #single(batch, status) {
    if (!UNREADABLE.has(status)) return;
    if (batch.length === 1) this.#passed.add(batch[0].id);
    this.#limit = 1;
  }

  #batch() {
    const waiting = inOrder(this.entries.filter((entry) => !entry.answer && entry.no !== null));
    const fresh = waiting.filter((entry) => !this.#passed.has(entry.id));
    if (fresh.length === 0) this.#passed.clear();
    return (fresh.length > 0 ? fresh : waiting).slice(0, this.#limit);
  }

  // Failing here only means that the entries are sent once more after a reload.
  async #keep(answered) {
    if (answered.length === 0 || this.isRefused) return;
    await this.store.put(...answered).then(
      () => this.#stored(),
      () => {},
    );
  }

  // Another window of this phone shows the same.
  #stored() {
    this.dispatchEvent(new Event("stored"));
  }

  async #number(made) {
    // A phone that keeps nothing has forgotten its numbers too, and asks the lab for them first.
    if (this.#isBlank) await this.#merged;
    const numbers = await this.store.add(this.seat, made, this.#floor).catch(() => {
      this.#refuse();
      return this.store.add(this.seat, made, this.#floor);
    });
    made.forEach((entry, index) => (entry.no = numbers[index]));
    if (this.isRefused) saveDraft(this.#lastName, String(numbers.at(-1)));
  }

  get #lastName() {
    return `last ${this.seat.key} ${this.seat.grip}`;
  }

  #refuse() {
    if (this.isRefused) return;
    const stored = this.entries.filter((entry) => entry.grip === this.seat.grip);
    this.#floor = Math.max(this.#floor, ...stored.map((entry) => entry.no ?? 0));
    this.isRefused = true;
    this.store = new MemoryStore();
  }

  #entry(draft) {
    const blank = { kind: "mark", place: null, cup: null, line: null, round: null, value: null };
    return {
      ...blank,
      ...draft,
      id: this.newId(),
      grip: this.seat.grip,
      no: null,
      sheet: this.sheetRef,
      device_time: this.now().toISOString(),
      held: this.seat.key,
      answer: null,
    };
  }

  #changed() {
    this.dispatchEvent(new Event("change"));
  }
}

function asSent({ held: _held, answer: _answer, ...entry }) {
  return entry;
}
