// <run-cue data-run="..." data-since="125"> says on the host's page which bowl is next, and marks
// it on the picture. Without script its text is what the server said.

import { announce } from "../shared/cue-keys.js";
import { actsOf, cueAt, sayCue } from "../shared/table-cues.js";
import { say } from "./table-clock.js";

class RunCue extends HTMLElement {
  connectedCallback() {
    this.timer = setInterval(() => this.show(), 250);
    this.reread();
  }

  reread() {
    const { clocks, rounds, ...run } = JSON.parse(this.dataset.run);
    this.run = run;
    this.acts = actsOf(clocks, rounds);
    // The page's own stopwatch, as the clock beside it.
    this.from = performance.now() - Number(this.dataset.since) * 1000;
    this.show();
  }

  disconnectedCallback() {
    clearInterval(this.timer);
  }

  show() {
    const cue = cueAt(this.acts, this.run, (performance.now() - this.from) / 1000);
    const { large, small } = sayCue(cue, say);
    const [first, second] = this.#lines();
    if (first.textContent !== large) first.textContent = large;
    if (second.textContent !== small) second.textContent = small;
    this.#mark(cue.now ?? cue.next);
    announce(cue.now, this.dataset.table);
  }

  #lines() {
    if (this.children.length !== 2) {
      this.replaceChildren(document.createElement("span"), document.createElement("small"));
    }
    return this.children;
  }

  #mark(act) {
    // One bowl at a time is the next one: the server's mark on the first steps back.
    this.closest(".stand")?.setAttribute("data-cued", "");
    const name = act?.cup ? `${act.place}.${act.cup}` : null;
    for (const bowl of this.closest(".stand")?.querySelectorAll("[data-bowl]") ?? []) {
      bowl.classList.toggle("due", bowl.getAttribute("data-bowl") === name);
    }
  }
}

customElements.define("run-cue", RunCue);
