// What the person must know and cannot see elsewhere: the phone keeps nothing, the lab refuses,
// or set an entry aside. Nothing stands here when all is well.

import { make } from "./drawing.js";
import { KeyedElement } from "./keyed-element.js";
import { asideNow } from "./marks.js";
import { key } from "./sheet-drawing.js";
import { lowerFirst } from "./wording.js";

const REFUSED = "This phone cannot keep marks.";
const WHILE_OPEN = "While this page stays open they still go straight to the lab.";
const STRANGER =
  "The lab does not take this phone's marks any more. They stay on this phone. " +
  "Ask the host, and join again with a fresh code.";
const AWAY =
  "The lab is away. Same Wi-Fi, no guest network, mobile data off, laptop awake? " +
  "Keep this page open: it comes back only when the lab does.";

class PhoneNotices extends KeyedElement {
  #isUnderstood = false;

  drawn({ outbox, sheet, trouble, isRefused, isLongAway }) {
    const late = outbox?.counts.late ?? 0;
    return [
      isRefused && !this.#isUnderstood && this.#refusal(sheet?.paper_code),
      isRefused && outbox?.counts.phone > 0 && make("p", null, neither(outbox.counts.phone)),
      isLongAway && make("p", null, isRefused ? AWAY : `${AWAY} The marks are safe.`),
      trouble === "stranger" && make("p", null, STRANGER),
      (outbox ? asideNow(outbox.entries) : []).map((entry) => aside(entry, sheet)),
      late > 0 && make("p", null, `${late} came after the hand-in: kept, not counted.`),
    ].flat();
  }

  // Said plainly once.
  understood() {
    this.#isUnderstood = true;
    this.show(this.model);
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
