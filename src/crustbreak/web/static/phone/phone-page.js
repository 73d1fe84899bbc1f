// The whole page: first a seat, then the sheet, the hand-in, the call and the names. It hears
// what the parts say and shows the part whose turn it is.

import { draw, make } from "../shared/dom.js";
import { heldAt, isPast, keyOf } from "./held-seats.js";
import { ApiClient } from "./api-client.js";
import { IndexedDbStore } from "./indexeddb-store.js";
import { TasterSession } from "./taster-session.js";
import { MemoryStore } from "./memory-store.js";
import "./phone-join.js";
import "./phone-sheet.js";
import "./sent-line.js";

const ELEMENTS = {
  sheet: "phone-sheet",
  "hand in": "hand-in",
  call: "phone-call",
  marks: "own-marks",
  uncovered: "phone-uncovered",
  help: "help-page",
  choices: "choice-lines",
};
const LATER = {
  notices: (again) => import(`./phone-notices.js${again}`),
  "hand in": (again) => import(`./hand-in.js${again}`),
  call: (again) => import(`./phone-call.js${again}`),
  marks: (again) => import(`./own-marks.js${again}`),
  uncovered: (again) => import(`./phone-uncovered.js${again}`),
  help: (again) => import(`../shared/help-page.js${again}`),
  choices: (again) => import(`./choice-lines.js${again}`),
};
// Those that must be here when the Wi-Fi is not: fetched as soon as the sheet stands.
const AHEAD = ["notices", "hand in", "call", "marks"];
const AHEAD_MS = 200;
// A thumb on its way must not press a key that has just come, or moved, under it.
const SETTLING_MS = 350;

class PhonePage extends HTMLElement {
  #session = null;
  #part = null;
  #wish = "sheet";
  #isRefused = false;
  #failed = 0;

  async connectedCallback() {
    this.main = this.querySelector("main");
    this.head = this.querySelector("header");
    this.notices = make("phone-notices", { class: "notices", role: "status" });
    this.head.after(this.notices);
    this.#listen();
    try {
      this.store = await IndexedDbStore.open();
    } catch {
      this.#refuse();
    }
    await this.#begin();
  }

  #refuse() {
    this.store = new MemoryStore();
    this.#isRefused = true;
  }

  #listen() {
    this.addEventListener("table", (event) => this.#recognise(event));
    this.addEventListener("token", ({ detail }) => this.#begin(detail));
    this.addEventListener("seated", ({ detail }) => this.#sit(detail));
    this.addEventListener("mark", ({ detail }) => this.#mark(detail));
    this.addEventListener("tap", ({ detail }) => this.#session.tap(detail));
    this.addEventListener("rehearse", () => this.#rehearse());
    this.addEventListener("call", ({ detail }) => this.#session.call(detail.place, detail.value));
    this.addEventListener("knew", ({ detail }) => this.#session.knew(detail));
    this.addEventListener("call-anew", ({ detail: { place, value, reason, done } }) =>
      this.#session.callAnew(place, value, reason).then(done),
    );
    this.addEventListener("hand-in", () => this.#session.handIn());
    this.addEventListener("why", () => this.notices.open?.());
    this.addEventListener("address", ({ detail }) => {
      this.#session.tryAddress(detail.origin).then(detail.done);
    });
    this.addEventListener("look", ({ detail }) => this.#look(detail));
    this.addEventListener("go-step", ({ detail }) => {
      this.#look("sheet");
      this.#part.goStep(detail);
    });
    for (const back of ["focus", "online", "pageshow"]) addEventListener(back, () => this.#wake());
    document.addEventListener("visibilitychange", () => {
      if (document.hidden) this.#session?.rest();
      else this.#wake();
    });
    addEventListener("hashchange", () => location.reload());
    addEventListener("beforeunload", (event) => {
      this.#flushNotes();
      if (this.#isUnsafe) event.preventDefault();
    });
  }

  // A token comes with the address, or for a code that was typed: then it stays in the address.
  async #begin(typed) {
    if (typed) history.replaceState(null, "", `#${typed}`);
    this.token = location.hash.slice(1);
    this.held = await this.#heldStill();
    const mine = this.held.find((seat) => this.token && seat.token === this.token);
    if (mine) return this.#sit(mine);
    this.#notice();
    this.#swap("phone-join").begin({ api: new ApiClient(), token: this.token, held: this.held });
  }

  // A week after its decision a table has nothing more to get from this phone.
  async #heldStill() {
    const held = await this.store.seats().catch(() => []);
    const past = held.filter((seat) => isPast(seat, Date.now()));
    for (const { key } of past) await this.store.clear(key).catch(() => {});
    return held.filter((seat) => !past.includes(seat));
  }

  // Leaving now would lose marks, or the page: it comes back only when the lab does.
  get #isUnsafe() {
    const { outbox, trouble, api } = this.#session ?? {};
    return Boolean(outbox?.isUnsafe || trouble === "away" || api?.hasMoved);
  }

  // A new code for a table at which this phone already sits.
  #recognise(event) {
    const mine = heldAt(this.held, event.detail);
    if (!mine) return;
    event.preventDefault();
    this.#sit({ ...mine, token: this.token });
  }

  async #sit(taken) {
    const seat = { ...taken, key: keyOf(taken) };
    try {
      await this.store.putSeat(seat);
    } catch {
      this.#refuse();
      await this.store.putSeat(seat);
    }
    const api = new ApiClient({ secret: seat.secret, addresses: seat.sheet?.addresses, typed: seat.typed });
    const [store, isRefused] = [this.store, this.#isRefused];
    this.#session = new TasterSession({ store, api, seat, isRefused });
    this.#session.addEventListener("change", () => this.#show());
    this.sent = make("sent-line", { class: "line" });
    this.head.replaceChildren(this.sent);
    this.#part = null;
    await this.#session.open();
  }

  // It plays the helper's page, which therefore cannot fetch it by itself.
  async #rehearse() {
    await import("../shared/rehearsal-table.js").catch(() => {});
    if (customElements.get("rehearsal-table")) this.#part.startRehearsal?.();
  }

  // A note's draft stays while the phone keeps nothing else.
  async #mark({ cells, done = null }) {
    await this.#session.mark(cells);
    if (!this.#session.outbox.isRefused) done?.();
  }

  #wake() {
    this.#session?.wake();
  }

  #look(wish) {
    this.#wish = wish;
    this.#show();
  }

  get #turn() {
    const { seat, state, isHandedIn, isOver, isReadOnly } = this.#session;
    if (seat.helper) return "help";
    if (state.flight === "abandoned") return "marks";
    if (this.#wish === "marks" && (isHandedIn || isOver)) return "marks";
    if (isOver) return "uncovered";
    if (isReadOnly) return "marks";
    if (isHandedIn) return "call";
    return this.#wish === "hand in" ? "hand in" : "sheet";
  }

  #show() {
    const { seat, outbox, trouble, sheet } = this.#session;
    this.sent.show({
      taster: seat.seat?.taster ?? "Helper",
      counts: outbox.counts,
      trouble,
      isRefused: outbox.isRefused,
    });
    this.#notice();
    this.ahead ??= setTimeout(() => this.#fetchAhead(), outbox.isRefused ? 0 : AHEAD_MS);
    if (!sheet) return draw(this.main, waiting(trouble));
    const turn = this.#turn;
    // A sheet that asks for words comes whole, with their keys.
    const isWordy = turn === "sheet" && sheet.sheet.lines.some(({ beside }) => beside);
    if (!this.#isFetched(isWordy ? "choices" : turn)) return;
    const name = ELEMENTS[turn];
    const isNew = this.#part?.localName !== name;
    const part = isNew ? this.#swap(name) : this.#part;
    part.show(this.#session);
    if (isNew) part.querySelector("h1")?.focus({ preventScroll: true });
  }

  async #fetchAhead() {
    for (const turn of AHEAD) {
      await LATER[turn](this.#again).catch(() => {
        this.#failed += 1;
        this.ahead = null;
      });
    }
    this.#notice();
  }

  get #again() {
    return this.#failed ? `?${this.#failed}` : "";
  }

  // Parts that few devices need, or not yet, are fetched when their turn comes. A fetch that
  // failed is tried again at the next change, under another name: browsers remember failures.
  #isFetched(turn) {
    const fetch = LATER[turn];
    if (!fetch || customElements.get(ELEMENTS[turn])) return true;
    this.fetching ??= fetch(this.#again)
      .then(
        () => this.#show(),
        () => (this.#failed += 1),
      )
      .finally(() => (this.fetching = null));
    return false;
  }

  #swap(name) {
    this.#flushNotes();
    this.#part = make(name);
    this.main.replaceChildren(this.#part);
    scrollTo(0, 0);
    this.#settle();
    return this.#part;
  }

  #settle() {
    clearTimeout(this.settling);
    this.main.classList.add("settling");
    this.settling = setTimeout(() => this.main.classList.remove("settling"), SETTLING_MS);
  }

  #flushNotes() {
    this.querySelectorAll("note-lines").forEach((notes) => notes.flush());
  }

  #notice() {
    if (!this.notices.show) return;
    const { outbox, sheet, trouble, isLongAway } = this.#session ?? {};
    const isRefused = outbox?.isRefused ?? this.#isRefused;
    const before = this.notices.offsetHeight;
    this.notices.show({ outbox, sheet, trouble, isRefused, isLongAway });
    if (this.notices.offsetHeight !== before) this.#settle();
  }
}

function waiting(trouble) {
  const told = trouble ? "The lab is not in reach. This page goes on by itself." : "";
  return [make("h1", { class: "say" }, "Fetching the sheet."), make("p", null, told)];
}

customElements.define("phone-page", PhonePage);
