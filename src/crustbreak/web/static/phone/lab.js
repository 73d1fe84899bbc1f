// The lab, over the network. Whatever is not the JSON that was asked for is no answer: a page
// of the Wi-Fi's own, an error, silence.

const PATIENCE_MS = 10_000;

export class NoAnswer extends Error {
  // status: 0 when nothing came; said: the lab's message and hint, where it gave them.
  constructor(status = 0, said = null) {
    super(said?.message ?? "no answer");
    this.status = status;
    this.said = said;
  }
}

export class Lab {
  constructor(secret = null) {
    this.secret = secret;
  }

  join(token) {
    return this.#ask("/join", { body: { token }, holds: "seats" });
  }

  // The secret is this phone's own, so that a wish whose answer was lost can be said again.
  sit(seat, token, secret) {
    const body = { token, secret };
    return this.#ask(`/seats/${encodeURIComponent(seat)}`, { body, holds: "grip" });
  }

  sheet() {
    return this.#ask("/sheet", { holds: "sheet" });
  }

  state() {
    return this.#ask("/state", { holds: "flight" });
  }

  uncovered() {
    return this.#ask("/uncovered", { holds: "coffees" });
  }

  async send(entries) {
    return (await this.#ask("/entries", { body: { entries }, holds: "answers" })).answers;
  }

  async #ask(path, { body, holds }) {
    const giveUp = new AbortController();
    const timer = setTimeout(() => giveUp.abort(), PATIENCE_MS);
    try {
      const response = await fetch(path, this.#request(body, giveUp.signal));
      const told = await response.json().catch(() => null);
      if (response.ok && told && holds in told) return told;
      throw new NoAnswer(response.status, told?.error ?? null);
    } catch (error) {
      throw error instanceof NoAnswer ? error : new NoAnswer();
    } finally {
      clearTimeout(timer);
    }
  }

  #request(body, signal) {
    const headers = { Accept: "application/json" };
    if (this.secret) headers.Authorization = `Bearer ${this.secret}`;
    if (!body) return { headers, signal, cache: "no-store" };
    headers["Content-Type"] = "application/json";
    return { method: "POST", headers, signal, body: JSON.stringify(body) };
  }
}
