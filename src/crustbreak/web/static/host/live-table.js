// <live-table data-src="..."> keeps the picture of a running table fresh.
//
// It fetches the same piece of HTML that the page came with. When what can be done changes (the
// state of the table, a tap), the whole page is loaded again, since the keys change with it.

import { draw } from "../shared/dom.js";

// How many marks somebody has is not worth a ring of the bell: it is asked for now and then.
const EVERY_MS = 2000;
const STAYS_AFTER_MS = 10_000;
const DECIDES = ["flight", "poured", "broken", "skimmed", "facts", "seats", "tried"];

class LiveTable extends HTMLElement {
  owes = false;

  connectedCallback() {
    this.timer = setInterval(() => this.look(), EVERY_MS);
    document.addEventListener("visibilitychange", (this.onShow = () => this.look()));
    // A key was pressed and its answer is on the way: loading the page again would lose the press.
    addEventListener("beforeunload", (this.onLeave = () => this.leave()));
    this.ring = new EventSource(this.dataset.stream);
    this.ring.addEventListener("look", () => this.look());
  }

  disconnectedCallback() {
    clearInterval(this.timer);
    this.ring.close();
    document.removeEventListener("visibilitychange", this.onShow);
    removeEventListener("beforeunload", this.onLeave);
  }

  leave() {
    this.isLeaving = true;
    // Whoever is still here then stays.
    setTimeout(() => (this.isLeaving = false), STAYS_AFTER_MS);
  }

  async look() {
    if (document.hidden || this.looking || this.isLeaving) return;
    this.looking = true;
    try {
      const answer = await fetch(this.dataset.src);
      const html = await answer.text();
      if (this.isLeaving) return;
      if (answer.ok) this.show(html);
      this.toggleAttribute("data-away", !answer.ok);
    } catch {
      this.toggleAttribute("data-away", true);
    } finally {
      this.looking = false;
    }
  }

  show(html) {
    const fresh = document.createElement("template");
    fresh.innerHTML = html;
    const now = /** @type {HTMLElement} */ (this.querySelector(".stand"));
    const next = /** @type {HTMLElement} */ (fresh.content.querySelector(".stand"));
    if (!next) return;
    this.owes ||= DECIDES.some((name) => now.dataset[name] !== next.dataset[name]);
    // Somebody may be typing a reason: what is typed is never lost, and the page is loaded again
    // once it is gone.
    const inputs = [...document.querySelectorAll("input")];
    const typed = inputs.some(({ name, value }) => ["reason", "figure"].includes(name) && value);
    if (this.owes && !typed) location.reload();
    // A bowl is touched here: it must stay the same element between touch and release.
    draw(this, this.querySelector(".away"), next);
    this.querySelectorAll("table-clock").forEach((each) => each.reread());
    this.querySelectorAll("run-cue").forEach((each) => each.reread());
  }
}

customElements.define("live-table", LiveTable);
