// What the person must know and cannot see elsewhere: the phone keeps nothing, the lab refuses,
// or set an entry aside. Nothing stands here when all is well.

import { make } from "./drawing.js";
import { KeyedElement } from "./keyed-element.js";
import { asideNow } from "./marks.js";
import { key } from "./sheet-drawing.js";
import { lowerFirst } from "./wording.js";

const REFUSED = "This phone cannot keep marks. Use paper or another phone.";
const STRANGER = "The lab does not know this phone any more. The marks stay here: ask the host.";

class PhoneNotices extends KeyedElement {
  #isUnderstood = false;

  drawn({ outbox, sheet, trouble, isRefused }) {
    const late = outbox?.counts.late ?? 0;
    return [
      isRefused && !this.#isUnderstood && this.#refusal(),
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

  #refusal() {
    return make(
      "div",
      { class: "refusal" },
      make("p", null, REFUSED),
      key("understood", "Understood"),
    );
  }
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
