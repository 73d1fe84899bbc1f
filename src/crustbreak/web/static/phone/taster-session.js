// A taster at a table: the sheet, the table's state, and what has been said, from the phone's
// own store first and then from the lab. Says `change` whenever any of it is another.

/** @import { HelpStateResponse, SheetResponse, StateResponse, UncoveredResponse } from "../../types/phone-api.d.ts" */

import { cellOf, fold } from "../shared/marks.js";
import { draftsUnder, readDraft, removeDraft } from "./drafts.js";
import { sincePourS } from "./clock-offset.js";
import { Outbox } from "./outbox.js";
import { EventStream } from "./event-stream.js";
import { isPoured } from "./wording.js";

const POLL_MS = 3000;
// While the lab itself says when to look.
const SELDOM_MS = 15_000;
const LONG_MS = 8000;

const WORLD = {
  now: () => Date.now(),
  isHidden: () => document.hidden,
  setTimer: (act, ms) => setTimeout(act, ms),
  clearTimer: (timer) => clearTimeout(timer),
};

export class TasterSession extends EventTarget {
  store = null;
  /** @type {import("./api-client.js").ApiClient} */
  api = null;
  seat = null;
  now = null;
  isHidden = null;
  setTimer = null;
  clearTimer = null;
  /** @type {Partial<SheetResponse>} */
  sheet = null;
  /** @type {StateResponse & HelpStateResponse} */
  state = null;
  /** @type {UncoveredResponse} */
  names = null;
  // What to say of the phone's trying itself out, before the pour.
  checkSaid = "";
  // "" when the lab answers, "away" when it does not, "stranger" when it knows us no more.
  trouble = "";

  #isFresh = false;
  #timer = null;
  #isAsking = false;
  #isWanted = false;
  #awaySince = null;
  #askedIn = null;
  #channel;

  // channel: to the other windows of this phone. The rest of the world is the browser's, unless a
  // test brings its own.
  constructor({ store, api, seat, isRefused, channel = new BroadcastChannel("crustbreak"), ...world }) {
    super();
    Object.assign(this, { store, api, seat, ...WORLD, ...world });
    const { setTimer, clearTimer } = this;
    this.#channel = channel;
    const post = (entries) => this.#post(entries);
    this.outbox = new Outbox({ store, seat, post, isRefused, setTimer, clearTimer });
    this.outbox.addEventListener("change", () => this.#changed());
    this.outbox.addEventListener("stored", () => this.#channel.postMessage(this.seat.key));
    this.#channel.onmessage = ({ data }) => data === this.seat.key && this.outbox.reread();
    this.stream = new EventStream({
      open: (signal) => this.api.stream(signal),
      look: () => this.look(),
      turned: () => this.#plan(),
      setTimer,
      clearTimer,
    });
  }

  async open() {
    await this.outbox.reread();
    if (this.seat.sheet) this.#take(this.seat.sheet);
    // A phone that keeps nothing gets its numbers from the lab, so that comes first.
    if (!this.outbox.isRefused) await this.#saveDrafts();
    this.outbox.nudge();
    await this.look();
    this.#listen();
    await this.#saveDrafts();
    await this.#checkPhone();
  }

  async #checkPhone() {
    if (!this.#isFresh || this.seat.helper || isPoured(this.state) || this.isReadOnly) return;
    const { store, api } = this;
    const keeps = async () => !this.outbox.isRefused && store.keeps();
    // Not needed by a phone that comes after the pour.
    const fetched = await import("./phone-check.js").catch(() => null);
    if (!fetched) return;
    const { checkText, checkPhone } = fetched;
    const found = await checkPhone({ keeps, hears: this.stream.spoken, offsets: api.offsets });
    // The host sees it; that this did not arrive shows in the header soon enough.
    const isHeard = await api.check(found).then(
      () => true,
      () => false,
    );
    this.checkSaid = isHeard ? checkText(found) : "";
    this.#changed();
  }

  // A gap of a moment is not worth a word that pushes the keys away.
  get isLongAway() {
    return this.#awaySince !== null && this.now() - this.#awaySince > LONG_MS;
  }

  // Only to be read here: another device has the seat, the host left it out, or the lab does not
  // take what this phone says.
  get isReadOnly() {
    return this.trouble === "stranger" || this.state?.holds === false || Boolean(this.state?.left_out);
  }

  // The state, with the clock since the pour as it is now and not as it was last heard.
  get stateNow() {
    const since = sincePourS(this.state, this.api.offsets.best, this.now());
    return { ...this.state, since_pour_s: since };
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

  // "I think I knew this one", or not after all.
  async knew(place) {
    const value = this.told.knew.has(place) ? null : "yes";
    await this.outbox.record([{ kind: "knew", place, value }]);
  }

  // Once the names are known another word stands beside the call, with its reason.
  async callAnew(place, value, reason) {
    await this.outbox.record([{ kind: "new_call", place, value, reason }]);
  }

  async handIn() {
    if (!this.isHandedIn) await this.outbox.record([{ kind: "hand_in" }]);
  }

  // Of a helper: a pour or a break at the table, or its undoing.
  async tap(act) {
    await this.outbox.record([act]);
    this.look();
  }

  // The lab's address as a person typed it; true when it answers there.
  async tryAddress(origin) {
    this.api.typed = [...new Set([...this.api.typed, origin])];
    const hasMoved = await this.api.find();
    if (hasMoved) await this.#keep({ typed: this.api.typed });
    if (hasMoved) this.wake();
    return hasMoved;
  }

  // Back in the hand, or back on the network: look around and send at once.
  async wake() {
    await this.outbox.reread();
    this.outbox.nudge();
    this.look();
    this.#listen();
  }

  // The lab that tells its addresses is one that has a stream.
  #listen() {
    if (this.sheet?.addresses && !this.isHidden()) this.stream.start();
  }

  // Nobody looks: no line is held open for that.
  rest() {
    this.stream.stop();
  }

  // Ask how things stand, now and then every few seconds while someone looks.
  async look() {
    this.clearTimer(this.#timer);
    this.#isWanted = this.#isAsking;
    if (this.#isAsking || this.isHidden()) return;
    this.#isAsking = true;
    let hasMoved = false;
    try {
      await this.#ask();
      this.trouble = "";
    } catch (error) {
      this.#note(error);
      hasMoved = await this.#mend();
    }
    this.#isAsking = false;
    this.#changed();
    if (this.#isWanted || hasMoved) this.look();
    else this.#plan();
  }

  // True when it is worth asking again at once.
  async #mend() {
    if (this.trouble === "away") return this.api.find();
    return this.trouble === "stranger" && this.#joinAgain();
  }

  // A lab that was put back to before this phone joined knows no secret of it, and still the
  // token. Asked once in each of its lives: a phone that the host has sent away stays away.
  async #joinAgain() {
    const { incarnation } = this.api;
    const { seat, token, secret, helper } = this.seat;
    if (!token || [this.#askedIn, this.seat.incarnation].includes(incarnation)) return false;
    this.#askedIn = incarnation;
    const wish = helper ? this.api.help(token, secret) : this.api.sit(seat.id, token, secret);
    const taken = await wish.catch((error) => {
      if (!error.status) this.#askedIn = null;
    });
    if (!taken) return false;
    await this.#keep({ grip: taken.grip });
    this.trouble = "";
    return true;
  }

  #plan() {
    this.clearTimer(this.#timer);
    // The bowls of a helper's picture change by the pace as well.
    const isSeldom = this.stream.isOpen && !this.trouble && !this.seat.helper;
    const pause = isSeldom ? SELDOM_MS : POLL_MS;
    this.#timer = this.setTimer(() => this.look(), pause);
  }

  async #ask() {
    if (this.#isFresh) this.state = await this.api.state();
    await this.#heed();
    if (!this.#isFresh) await this.#fetchSheet();
    if (this.isOver && !this.seat.helper) await this.#fetchNames();
    const { holds, decided_at: decidedAt } = this.state;
    if (holds === this.seat.holds && decidedAt === this.seat.decided_at) return;
    await this.#keep({ holds, decided_at: decidedAt, offset: this.api.offsets.best });
  }

  // A lab put back to an earlier copy of itself is told all that this phone holds once more.
  async #heed() {
    const { incarnation } = this.api;
    if (!incarnation || incarnation === this.seat.incarnation) return;
    this.#isFresh = false;
    const kept = this.#keep({ incarnation });
    this.outbox.restart(this.seat);
    await kept;
    this.outbox.nudge();
  }

  async #keep(news) {
    this.seat = { ...this.seat, ...news };
    this.outbox.seat = this.seat;
    // Without it the next start only needs the lab.
    await this.store.putSeat(this.seat).catch(() => {});
  }

  async #post(entries) {
    try {
      const answers = await this.api.send(entries);
      await this.#heed();
      this.trouble = "";
      return answers;
    } catch (error) {
      this.#note(error);
      this.#changed();
      throw error;
    }
  }

  // Only the lab itself can refuse us: a door of the Wi-Fi's own that says 403 is no lab.
  #note({ status, said }) {
    this.trouble = said && (status === 401 || status === 403) ? "stranger" : "away";
  }

  async #fetchSheet() {
    const asked = this.seat.helper ? this.api.table() : this.api.sheet();
    const { entries, ...sheet } = await asked;
    await this.#heed();
    this.#take(sheet);
    this.api.addresses = sheet.addresses ?? [];
    this.#isFresh = true;
    this.outbox.merge(entries);
    await this.#keep({ sheet });
  }

  async #fetchNames() {
    const { flight } = this.state;
    if (flight === "abandoned" || (this.names && this.namedIn === flight)) return;
    this.names = await this.api.uncovered();
    this.namedIn = flight;
  }

  #take(sheet) {
    this.sheet = sheet;
    this.state = sheet.state;
    this.outbox.sheetRef = sheet.sheet?.ref ?? "";
  }

  // A note that was being typed when the page went away.
  async #saveDrafts() {
    if (!this.sheet || this.seat.helper || this.isHandedIn || this.isReadOnly) return;
    const start = `note ${this.seat.key} `;
    for (const name of draftsUnder(start)) {
      const [place, line, round] = name.slice(start.length).split(" ");
      const value = readDraft(name);
      await this.mark([{ place, cup: null, line, round, value: value || null }]);
      if (readDraft(name) === value) removeDraft(name);
    }
  }

  #changed() {
    this.folded = null;
    this.#awaySince = this.trouble === "away" ? (this.#awaySince ?? this.now()) : null;
    this.dispatchEvent(new Event("change"));
  }
}
