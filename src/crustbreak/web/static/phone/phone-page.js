// The whole page: first a seat, then the sheet, the hand-in, the call and the names. It hears
// what the parts say and shows the part whose turn it is.

import { draw, make } from "./drawing.js";
import { heldAt, isPast, keyOf } from "./holding.js";
import { Lab } from "./lab.js";
import { Shelf } from "./shelf.js";
import { Sitting } from "./sitting.js";
import { Tray } from "./tray.js";
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
  help: (again) => import(`./help-page.js${again}`),
  choices: (again) => import(`./choice-lines.js${again}`),
};
// Those that must be here when the Wi-Fi is not: fetched as soon as the sheet stands.
const AHEAD = ["notices", "hand in", "call", "marks"];
const AHEAD_MS = 200;
// A thumb on its way must not press a key that has just come, or moved, under it.
const SETTLING_MS = 350;

class PhonePage extends HTMLElement {
  #sitting = null;
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
      this.shelf = await Shelf.open();
    } catch {
      this.#refuse();
    }
    await this.#begin();
  }

  #refuse() {
    this.shelf = new Tray();
    this.#isRefused = true;
  }

  #listen() {
    this.addEventListener("table", (event) => this.#recognise(event));
    this.addEventListener("token", ({ detail }) => this.#begin(detail));
    this.addEventListener("seated", ({ detail }) => this.#sit(detail));
    this.addEventListener("mark", ({ detail }) => this.#mark(detail));
    this.addEventListener("tap", ({ detail }) => this.#sitting.tap(detail));
    this.addEventListener("call", ({ detail }) => this.#sitting.call(detail.place, detail.value));
    this.addEventListener("knew", ({ detail }) => this.#sitting.knew(detail));
    this.addEventListener("call-anew", ({ detail: { place, value, reason, done } }) =>
      this.#sitting.callAnew(place, value, reason).then(done),
    );
    this.addEventListener("hand-in", () => this.#sitting.handIn());
    this.addEventListener("why", () => this.notices.open?.());
    this.addEventListener("address", ({ detail }) => {
      this.#sitting.tryAddress(detail.origin).then(detail.done);
    });
    this.addEventListener("look", ({ detail }) => this.#look(detail));
    this.addEventListener("go-step", ({ detail }) => {
      this.#look("sheet");
      this.#part.goStep(detail);
    });
    for (const back of ["focus", "online", "pageshow"]) addEventListener(back, () => this.#wake());
    document.addEventListener("visibilitychange", () => {
      if (document.hidden) this.#sitting?.rest();
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
    this.#swap("phone-join").begin({ lab: new Lab(), token: this.token, held: this.held });
  }

  // A week after its decision a table has nothing more to get from this phone.
  async #heldStill() {
    const held = await this.shelf.seats().catch(() => []);
    const past = held.filter((seat) => isPast(seat, Date.now()));
    for (const { key } of past) await this.shelf.clear(key).catch(() => {});
    return held.filter((seat) => !past.includes(seat));
  }

  // Leaving now would lose marks, or the page: it comes back only when the lab does.
  get #isUnsafe() {
    const { outbox, trouble, lab } = this.#sitting ?? {};
    return Boolean(outbox?.isUnsafe || trouble === "away" || lab?.hasMoved);
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
      await this.shelf.putSeat(seat);
    } catch {
      this.#refuse();
      await this.shelf.putSeat(seat);
    }
    const lab = new Lab({ secret: seat.secret, addresses: seat.sheet?.addresses, typed: seat.typed });
    const [shelf, isRefused] = [this.shelf, this.#isRefused];
    this.#sitting = new Sitting({ shelf, lab, seat, isRefused });
    this.#sitting.addEventListener("change", () => this.#show());
    this.sent = make("sent-line", { class: "line" });
    this.head.replaceChildren(this.sent);
    this.#part = null;
    await this.#sitting.open();
  }

  // A note's jotting stays while the phone keeps nothing else.
  async #mark({ cells, done }) {
    await this.#sitting.mark(cells);
    if (!this.#sitting.outbox.isRefused) done?.();
  }

  #wake() {
    this.#sitting?.wake();
  }

  #look(wish) {
    this.#wish = wish;
    this.#show();
  }

  get #turn() {
    const { seat, state, isHandedIn, isOver, isReadOnly } = this.#sitting;
    if (seat.helper) return "help";
    if (state.flight === "abandoned") return "marks";
    if (this.#wish === "marks" && (isHandedIn || isOver)) return "marks";
    if (isOver) return "uncovered";
    if (isReadOnly) return "marks";
    if (isHandedIn) return "call";
    return this.#wish === "hand in" ? "hand in" : "sheet";
  }

  #show() {
    const { seat, outbox, trouble, sheet } = this.#sitting;
    this.sent.show({ taster: seat.seat?.taster ?? "Helper", counts: outbox.counts, trouble, isRefused: outbox.isRefused });
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
    part.show(this.#sitting);
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
      .then(() => this.#show(), () => (this.#failed += 1))
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
    const { outbox, sheet, trouble, isLongAway } = this.#sitting ?? {};
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
