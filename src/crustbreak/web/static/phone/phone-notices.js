// What the person must know and cannot see elsewhere: the phone keeps nothing, the lab refuses,
// or set an entry aside. Nothing stands here when all is well.

import { loadCss } from "../shared/lazy-css.js";
import { key, make } from "../shared/dom.js";
import { ActionElement } from "../shared/action-element.js";
import { asideNow } from "../shared/marks.js";
import { originOf } from "./lab-address.js";
import { lowerFirst } from "./wording.js";

const REFUSED = "This phone cannot keep marks.";
const WHILE_OPEN = "While this page stays open they still go straight to the lab.";
const STRANGER =
  "The lab does not take what this device says any more. What was said stays on it. " +
  "Ask the host, and join again with a fresh code.";
const AWAY =
  "The lab is away. Same Wi-Fi, no guest network, mobile data off, laptop awake? " +
  "Keep this page open: it comes back only when the lab does.";
const NO_ADDRESS = "An address looks like 192.168.1.23.";
const NOT_THERE = "No lab answers there.";

await loadCss("phone/later");

class PhoneNotices extends ActionElement {
  #isUnderstood = false;
  #isClosed = false;
  #said = "";

  constructor() {
    super();
    this.addEventListener("submit", (event) => event.preventDefault());
  }

  drawn({ outbox, sheet, trouble, isRefused, isLongAway }) {
    const late = outbox?.counts.late ?? 0;
    return [
      isRefused && !this.#isUnderstood && this.#refusal(sheet?.paper_code),
      isRefused && outbox?.counts.phone > 0 && make("p", null, neither(outbox.counts.phone)),
      isLongAway && !this.#isClosed && this.#away(isRefused ? AWAY : `${AWAY} What was said is safe.`),
      trouble === "stranger" && make("p", null, STRANGER),
      // A helper's own page says what became of its last tap.
      (sheet?.sheet ? asideNow(outbox.entries) : []).map((entry) => aside(entry, sheet)),
      late > 0 && make("p", null, `${late} came after the hand-in: kept, not counted.`),
    ].flat();
  }

  // Said plainly once.
  understood() {
    this.#isUnderstood = true;
    this.show(this.model);
  }

  // Named as the laptop shows it, where neither this page nor the lab knew better.
  address() {
    const box = /** @type {HTMLInputElement} */ (this.querySelector("[name=address]"));
    const origin = originOf(box.value, location);
    if (!origin) return this.#tell(NO_ADDRESS);
    this.#tell("Looking there.");
    this.tell("address", { origin, done: (isThere) => this.#tell(isThere ? "" : NOT_THERE) });
  }

  // It lies over the table, so that no key moves; the header brings it back.
  close() {
    this.#isClosed = true;
    this.show(this.model);
  }

  open() {
    this.#isClosed = false;
    this.show({ ...this.model, isLongAway: this.model.trouble === "away" });
  }

  #tell(said) {
    this.#said = said;
    this.show(this.model);
  }

  #away(said) {
    const box = { name: "address", autocomplete: "off", autocapitalize: "none", spellcheck: "false", inputmode: "url" };
    return make(
      "form",
      { class: "address" },
      make("p", null, said),
      make("label", null, "Another address on the laptop's page? ", make("input", box)),
      make("p", { class: "said" }, this.#said),
      make("button", { class: "key", "data-do": "address" }, "Try it"),
      key("close", "Close"),
    );
  }

  #refusal(paperCode) {
    return make(
      "div",
      { class: "refusal" },
      make("p", null, `${REFUSED} ${WHILE_OPEN}`),
      make("p", null, onPaper(paperCode)),
      key("understood", "Understood"),
    );
  }
}

function onPaper(paperCode) {
  const top = paperCode ? `put the paper code ${paperCode} at the top` : "put your name at the top";
  return `If the lab goes away, write on paper: ${top}; the host types it in later on any device.`;
}

function neither(count) {
  const marks = count === 1 ? "1 mark is" : `${count} marks are`;
  return `${marks} neither kept here nor in the lab yet: write them on paper too.`;
}

function aside({ place, line, kind, answer }, sheet) {
  const code = sheet?.places.find(({ id }) => id === place)?.code ?? "the table";
  const title = sheet?.sheet.lines.find(({ id }) => id === line)?.title ?? kind.replace("_", " ");
  const said = [`Set aside: ${lowerFirst(title)} of ${code}`, answer.rule, answer.remedy];
  return make("p", null, said.filter(Boolean).map(asSentence).join(" "));
}

function asSentence(text) {
  const capital = text.charAt(0).toUpperCase() + text.slice(1);
  return capital.endsWith(".") ? capital : `${capital}.`;
}

customElements.define("phone-notices", PhoneNotices);
