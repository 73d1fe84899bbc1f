// A taster at a table: the sheet, the table's state, and what has been said, from the phone's
// own store first and then from the lab. Says `change` whenever any of it is another.

import { Outbox } from "./outbox.js";
import { cellOf, fold } from "./marks.js";
import { jottedUnder, jotted, strike } from "./notebook.js";

const POLL_MS = 3000;

export class Sitting extends EventTarget {
  state = null;
  names = null;
  // "" when the lab answers, "away" when it does not, "stranger" when it knows us no more.
  trouble = "";

  #isFresh = false;
  #timer = null;
  #isAsking = false;

  constructor({ shelf, lab, seat, isRefused }) {
    super();
    Object.assign(this, { shelf, lab, seat });
    this.outbox = new Outbox({ shelf, seat, post: (entries) => this.#post(entries), isRefused });
    this.outbox.addEventListener("change", () => this.#changed());
  }

  async open() {
    await this.outbox.reread();
    if (this.seat.sheet) this.#take(this.seat.sheet);
    // A phone that keeps nothing gets its numbers from the lab, so that comes first.
    if (!this.outbox.isRefused) await this.#saveDrafts();
    this.outbox.nudge();
    await this.look();
    await this.#saveDrafts();
  }

  get told() {
    return (this.folded ??= fold(this.outbox.entries));
  }

  get isOver() {
    return ["uncovered", "decided", "abandoned"].includes(this.state?.flight);
  }

  get isHandedIn() {
    return this.told.handedIn || this.state?.seat === "handed in";
  }

  // Say these, leaving out what is already said so.
  async mark(cells) {
    const { marks } = this.told;
    const news = cells.filter((cell) => (marks.get(cellOf(cell)) ?? null) !== cell.value);
    if (news.length > 0) await this.outbox.record(news);
  }

  async call(place, value) {
    if (this.told.calls.get(place) === value) return;
    await this.outbox.record([{ kind: "call", place, value }]);
  }

  async handIn() {
    if (!this.isHandedIn) await this.outbox.record([{ kind: "hand_in" }]);
  }

  // Back in the hand, or back on the network: look around and send at once.
  async wake() {
    await this.outbox.reread();
    this.outbox.nudge();
    this.look();
  }

  // Ask how things stand, now and then every three seconds while someone looks.
  async look() {
    clearTimeout(this.#timer);
    if (this.#isAsking || document.hidden) return;
    this.#isAsking = true;
    try {
      if (!this.#isFresh) await this.#fetchSheet();
      else this.state = await this.lab.state();
      if (this.isOver) await this.#fetchNames();
      this.trouble = "";
    } catch (error) {
      this.#note(error);
    }
    this.#isAsking = false;
    this.#changed();
    this.#timer = setTimeout(() => this.look(), POLL_MS);
  }

  async #post(entries) {
    try {
      const answers = await this.lab.send(entries);
      this.trouble = "";
      return answers;
    } catch (error) {
      this.#note(error);
      this.#changed();
      throw error;
    }
  }

  #note({ status }) {
    this.trouble = status === 401 || status === 403 ? "stranger" : "away";
  }

  async #fetchSheet() {
    const { entries, ...sheet } = await this.lab.sheet();
    this.#take(sheet);
    this.#isFresh = true;
    this.outbox.merge(entries);
    this.seat = { ...this.seat, sheet };
    // Without it the next start only needs the lab.
    await this.shelf.putSeat(this.seat).catch(() => {});
  }

  async #fetchNames() {
    const { flight } = this.state;
    if (flight === "abandoned" || (this.names && this.namedIn === flight)) return;
    this.names = await this.lab.uncovered();
    this.namedIn = flight;
  }

  #take(sheet) {
    this.sheet = sheet;
    this.state = sheet.state;
    this.outbox.sheetRef = sheet.sheet.ref;
  }

  // A note that was being typed when the page went away.
  async #saveDrafts() {
    if (!this.sheet || this.isHandedIn) return;
    const start = `note ${this.seat.table} `;
    for (const name of jottedUnder(start)) {
      const [place, line, round] = name.slice(start.length).split(" ");
      const value = jotted(name);
      await this.mark([{ place, cup: null, line, round, value: value || null }]);
      if (jotted(name) === value) strike(name);
    }
  }

  #changed() {
    this.folded = null;
    this.dispatchEvent(new Event("change"));
  }
}
