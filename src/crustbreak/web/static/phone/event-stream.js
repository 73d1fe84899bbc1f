// The lab's own word that there is something to look at. EventSource cannot say who asks, so the
// stream is fetched and read here. When it breaks it is tried again; asking goes on meanwhile.

import { pauseMs } from "./randomness.js";

// The lab says something every 15 s: longer silence is a stream that nobody told us has ended.
const SILENCE_MS = 40_000;

// Takes text in whatever pieces it comes, and gives the kinds of the events that are complete.
export class EventReader {
  #rest = "";
  #kind = "";
  #hasData = false;

  read(text) {
    const lines = (this.#rest + text).split(/\r\n|\n|\r(?!$)/);
    this.#rest = lines.pop();
    return lines.map((line) => this.#line(line)).filter(Boolean);
  }

  #line(line) {
    if (line === "") return this.#close();
    const [, field, value] = /^([^:]*):? ?(.*)$/.exec(line);
    if (field === "event") this.#kind = value;
    if (field === "data") this.#hasData = true;
    return null;
  }

  #close() {
    const kind = this.#hasData ? this.#kind || "message" : null;
    this.#kind = "";
    this.#hasData = false;
    return kind;
  }
}

const WORLD = {
  chance: Math.random,
  setTimer: (act, ms) => setTimeout(act, ms),
  clearTimer: (timer) => clearTimeout(timer),
};

export class EventStream {
  isOpen = false;

  #hear = null;
  // Settles once the lab has said something by it.
  spoken = new Promise((resolve) => (this.#hear = resolve));
  #stop = null;
  #pause = null;
  #failures = 0;

  // open: gives the response, until its signal ends it; look: something is there to be looked at;
  // turned: the stream opened or broke.
  open = null;
  look = null;
  turned = null;
  chance = null;
  setTimer = null;
  clearTimer = null;

  constructor({ open, look, turned, ...world }) {
    Object.assign(this, { open, look, turned, ...WORLD, ...world });
  }

  async start() {
    if (this.#stop) return;
    this.clearTimer(this.#pause);
    const stop = (this.#stop = new AbortController());
    await this.#read(stop).catch(() => {});
    if (this.#stop !== stop) return;
    this.stop();
    this.#failures += 1;
    this.#pause = this.setTimer(() => this.start(), pauseMs(this.#failures, this.chance));
  }

  // Also when nobody looks: a page in the background holds no line open.
  stop() {
    this.clearTimer(this.#pause);
    this.#stop?.abort();
    this.#stop = null;
    this.#turn(false);
  }

  async #read(stop) {
    const response = await this.open(stop.signal);
    if (stop.signal.aborted) return;
    this.#turn(true);
    const reader = response.body.getReader();
    const [decoder, events] = [new TextDecoder(), new EventReader()];
    let silence = null;
    try {
      for (;;) {
        silence = this.setTimer(() => stop.abort(), SILENCE_MS);
        const { value, done } = await reader.read();
        this.clearTimer(silence);
        if (done || stop.signal.aborted) return;
        this.#failures = 0;
        this.#hear();
        if (events.read(decoder.decode(value, { stream: true })).includes("look")) this.look();
      }
    } finally {
      this.clearTimer(silence);
      reader.cancel().catch(() => {});
    }
  }

  #turn(isOpen) {
    if (this.isOpen === isOpen) return;
    this.isOpen = isOpen;
    this.turned();
  }
}
