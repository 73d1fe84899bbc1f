// One's own marks, place by place, once nothing can be changed any more. No totals.

import { saidOf, summary } from "./bowl-words.js";
import { isAsked as isChosen } from "./choices.js";
import { loadCss } from "../shared/lazy-css.js";
import { key, make } from "../shared/dom.js";
import { ActionElement } from "../shared/action-element.js";
import { cellOf, valuesOf } from "../shared/marks.js";
import { shown } from "./scale-points.js";
import { isAsked } from "./steps.js";

// Notes, and words beside a scale.
const MAY_LACK = ["words", "choice"];

await loadCss("phone/later");

class OwnMarks extends ActionElement {
  // model: the session.
  drawn({ sheet, told, state, trouble, isHandedIn, isReadOnly, seat, outbox }) {
    if (isReadOnly && trouble === "stranger") return this.#onlyHere({ sheet, told });
    if (isReadOnly) return this.#onlyRead({ sheet, told, state, seat, outbox });
    const isGivenUp = state.flight === "abandoned";
    const given = isHandedIn ? "Handed in, as you gave them." : "As you gave them.";
    document.title = "Your marks · Crustbreak";
    return [
      title(isGivenUp ? "This table was given up." : "Your marks"),
      make("p", null, isGivenUp ? "Your marks are kept." : given),
      sheet.places.map((place) => placed(place, sheet.sheet, told.marks)),
      !isGivenUp && make("div", { class: "move one" }, key("back", "Back", { class: "key on" })),
    ].flat();
  }

  #onlyRead({ sheet, told, state, seat, outbox }) {
    document.title = "Your marks · Crustbreak";
    const isElsewhere = state.holds === false;
    const said = isElsewhere
      ? `${seat.seat.taster} goes on with another device.`
      : "The host goes on without this sheet.";
    return [
      title(said),
      !isElsewhere && make("p", null, `The reason given: ${state.left_out}`),
      make("p", { role: "status" }, wherePart(outbox.counts.phone)),
      ...sheet.places.map((place) => placed(place, sheet.sheet, told.marks)),
    ];
  }

  // The notice above says what to do.
  #onlyHere({ sheet, told }) {
    document.title = "Your marks · Crustbreak";
    return [
      title("The lab does not know this phone."),
      make("p", null, "What was said here stays on this phone, to be read."),
      ...sheet.places.map((place) => placed(place, sheet.sheet, told.marks)),
    ];
  }

  back() {
    this.tell("look", "call");
  }
}

function wherePart(waiting) {
  return waiting > 0
    ? "What was still on this phone is being sent: keep the page open."
    : "What was still on this phone is in the lab.";
}

function placed(place, sheet, marks) {
  const rows = rowsOf(sheet)
    .map(([name, line, round]) => [name, line, text(line, round, { place, marks, sheet })])
    .filter(([, line, value]) => value !== "" || (!MAY_LACK.includes(line.kind) && isAsked(line, place)));
  const drawn = rows.map(([name, line, value]) =>
    make("div", { class: line.kind }, make("dt", null, name), make("dd", null, value || "open")),
  );
  return make(
    "section",
    { class: "told", "aria-label": place.code },
    make("h2", null, place.code),
    make("dl", null, drawn),
  );
}

// A note has a row for each round in which it can be given.
function rowsOf({ lines, rounds }) {
  return lines.flatMap((line) => {
    if (line.kind !== "words") return [[line.title, line, line.round]];
    const asked = rounds.filter(({ id }) => !line.round || line.round === id);
    return asked.map(({ id, title: name }) => [`${line.title}, ${name.toLowerCase()}`, line, id]);
  });
}

function text(line, round, { place, marks, sheet }) {
  if (line.kind === "words") {
    return marks.get(cellOf({ place: place.id, cup: null, line: line.id, round })) ?? "";
  }
  const said = valuesOf({ line, round: { id: round }, place }, marks);
  if (line.kind === "cups") return summary(said, line);
  if (line.kind === "choice") {
    const scale = sheet.lines.find(({ id }) => id === line.beside);
    return isChosen({ line: scale, round: { id: round }, place }, marks) ? saidOf(said[0], line) : "";
  }
  return said[0] === null ? "" : shown(said[0], line);
}

function title(words) {
  return make("h1", { class: "say", tabindex: -1 }, words);
}

customElements.define("own-marks", OwnMarks);
