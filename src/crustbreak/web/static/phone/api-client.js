// The lab, over the network. Whatever is not the JSON that was asked for is no answer: a page
// of the Wi-Fi's own, an error, silence. It may move to another address while a table is open;
// the one that answers is used from then on.

/** @import { AnswerData, CheckResponse, CodeResponse, EntriesResponse, HelperResponse, HelpResponse, HelpStateResponse, InvitationResponse, SeatResponse, SheetResponse, StateResponse, UncoveredResponse } from "../../types/phone-api.d.ts" */

import { ClockOffsets } from "./clock-offset.js";

const PATIENCE_MS = 10_000;
const KNOCK_MS = 3000;

export class NoAnswer extends Error {
  // status: 0 when nothing came; said: the lab's message and hint, where it gave them.
  constructor(status = 0, said = null) {
    super(said?.message ?? "no answer");
    this.status = status;
    this.said = said;
  }
}

export class ApiClient {
  // Changes when the lab was put back to an earlier copy of itself.
  incarnation = null;
  offsets = new ClockOffsets();
  secret = null;
  own = "";
  origin = "";
  addresses = [];
  typed = [];

  // addresses: where the lab said that it can be reached.
  // typed: where a person said so.
  constructor({ secret = null, addresses = [], typed = [], own = location.origin } = {}) {
    Object.assign(this, { secret, addresses, typed, own, origin: own });
  }

  // A code that was typed, for the token that a scanned one carries.
  /** @returns {Promise<CodeResponse>} */
  code(code) {
    return this.#ask("/code", { body: { code }, holds: "token" });
  }

  /** @returns {Promise<InvitationResponse>} */
  join(token) {
    return this.#ask("/join", { body: { token }, holds: "seats" });
  }

  // The secret is this phone's own, so that a wish whose answer was lost can be said again.
  /** @returns {Promise<SeatResponse>} */
  sit(seat, token, secret) {
    const body = { token, secret };
    return this.#ask(`/seats/${encodeURIComponent(seat)}`, { body, holds: "grip" });
  }

  // A device that only taps pours.
  /** @returns {Promise<HelperResponse>} */
  help(token, secret) {
    return this.#ask("/helper", { body: { token, secret }, holds: "helper" });
  }

  // What a helper has instead of a sheet; its taps are its entries.
  async table() {
    /** @type {HelpResponse} */
    const { taps, ...table } = await this.#ask("/help", { holds: "taps" });
    return { ...table, entries: taps };
  }

  /** @returns {Promise<SheetResponse>} */
  sheet() {
    return this.#ask("/sheet", { holds: "sheet" });
  }

  /** @returns {Promise<StateResponse & HelpStateResponse>} */
  state() {
    return this.#ask("/state", { holds: "flight" });
  }

  // What this phone found when it tried itself out.
  /** @returns {Promise<CheckResponse>} */
  check(found) {
    return this.#ask("/check", { body: found, holds: "heard" });
  }

  /** @returns {Promise<UncoveredResponse>} */
  uncovered() {
    return this.#ask("/uncovered", { holds: "coffees" });
  }

  /** @returns {Promise<AnswerData[]>} */
  async send(entries) {
    const body = { entries, ...this.#clock };
    /** @type {EntriesResponse} */
    const { answers } = await this.#ask("/entries", { body, holds: "answers" });
    return answers;
  }

  // An open line, until the signal ends it.
  async stream(signal) {
    const response = await fetch(`${this.origin}/stream`, this.#request(null, signal));
    if (!response.ok || !response.body) throw new NoAnswer(response.status);
    return response;
  }

  get hasMoved() {
    return this.origin !== this.own;
  }

  // Knock wherever the lab may be; true when it answers elsewhere than before. No secret is said
  // at a door of which nobody knows who is behind it.
  async find() {
    const origins = [...new Set([this.own, ...this.addresses, ...this.typed])];
    if (origins.length < 2) return false;
    const found = await Promise.any(origins.map((origin) => this.#knock(origin))).catch(() => null);
    if (!found || found === this.origin) return false;
    this.origin = found;
    return true;
  }

  get #clock() {
    return { offset_ms: this.offsets.best ? Math.round(this.offsets.best.ms) : null };
  }

  async #knock(origin) {
    const signal = AbortSignal.timeout(KNOCK_MS);
    const response = await fetch(`${origin}/`, { signal, cache: "no-store" });
    if (!response.ok || !response.headers.get("Crustbreak-Lab")) throw new NoAnswer();
    return origin;
  }

  async #ask(path, { body = null, holds }) {
    const giveUp = new AbortController();
    const timer = setTimeout(() => giveUp.abort(), PATIENCE_MS);
    try {
      const sent = Date.now();
      const response = await fetch(this.origin + path, this.#request(body, giveUp.signal));
      this.#hear(response.headers, sent);
      const told = await response.json().catch(() => null);
      if (response.ok && told && holds in told) return told;
      throw new NoAnswer(response.status, told?.error ?? null);
    } catch (error) {
      throw error instanceof NoAnswer ? error : new NoAnswer();
    } finally {
      clearTimeout(timer);
    }
  }

  #hear(headers, sent) {
    const lab = Date.parse(headers.get("Crustbreak-Now") ?? "");
    this.offsets.hear({ sent, heard: Date.now(), lab });
    this.incarnation = headers.get("Crustbreak-Lab") ?? this.incarnation;
  }

  /** @returns {RequestInit} */
  #request(body, signal) {
    const headers = { Accept: "application/json" };
    if (this.secret) headers.Authorization = `Bearer ${this.secret}`;
    if (!body) return { headers, signal, cache: "no-store" };
    headers["Content-Type"] = "application/json";
    return { method: "POST", headers, signal, body: JSON.stringify(body) };
  }
}
