// After handing in: the taster's own verdict on each code, before any coffee has a name. What
// changes stands below the keys, so that none of them moves under a thumb.

import { loadCss } from "../shared/lazy-css.js";
import { key, make } from "../shared/dom.js";
import { ActionElement } from "../shared/action-element.js";

await loadCss("phone/later");

class PhoneCall extends ActionElement {
  // model: the session.
  drawn({ sheet, told, outbox, state }) {
    const { subjects, verdicts, places, asks } = sheet;
    document.title = "Your call · Crustbreak";
    const isComplete = subjects.every((place) => (told.calls.get(place) ?? null) !== null);
    return [
      make("h1", { class: "say", tabindex: -1 }, "Handed in. Now your call."),
      make("p", null, asks),
      subjects.map((id) => {
        const name = places.find((place) => place.id === id)?.code ?? "The table";
        return subject({ id, name }, verdicts, told.calls.get(id), state.calls_stand);
      }),
      knew(places, told.knew, state.calls_stand),
      make("p", { class: "waiting", role: "status" }, waiting(isComplete, outbox.counts.phone, state.calls_stand)),
      make("div", { class: "move one" }, key("look", "Look at your marks")),
    ].flat();
  }

  say({ place, word }) {
    this.tell("call", { place: place || null, value: word });
  }

  // Blind is only who did not know: said, it stands beside the marks and takes none away.
  knew({ place }) {
    this.tell("knew", place);
  }

  look() {
    this.tell("look", "marks");
  }
}

function waiting(isComplete, waits, isClosed) {
  return [
    isComplete && make("b", null, "Wait for the host to uncover."),
    isComplete && (isClosed ? "The calls stay as they are. " : "A call can be changed until then. "),
    waits > 0 && `${waits} on this phone: keep the page open until all is in the lab.`,
  ];
}

function subject({ id, name }, verdicts, call, isClosed) {
  const keys = verdicts.map((word) =>
    key("say", word, {
      class: word === call ? "key on" : "key",
      "data-place": id ?? "",
      "data-word": word,
      "aria-label": `${name}: ${word}`,
      "aria-pressed": String(word === call),
      disabled: isClosed,
    }),
  );
  return make(
    "section",
    { class: id === null ? "subject whole" : "subject", "aria-label": name },
    make("h2", null, name),
    make("div", { class: `keys by-${verdicts.length > 3 ? 2 : 3} words` }, keys),
  );
}

function knew(places, known, isClosed) {
  const keys = places.map(({ id, code }) =>
    key("knew", code, {
      class: known.has(id) ? "key on" : "key",
      "data-place": id,
      "aria-label": `I think I knew ${code}`,
      "aria-pressed": String(known.has(id)),
      disabled: isClosed,
    }),
  );
  return make(
    "section",
    { class: "knew", "aria-label": "I think I knew this one" },
    make("h2", null, "I think I knew this one"),
    make("p", null, "Touch it now, before the names. Nothing you marked is taken away."),
    make("div", { class: "keys by-4 words" }, keys),
  );
}

customElements.define("phone-call", PhoneCall);
