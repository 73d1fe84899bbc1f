// What stands around the keys of a line: the rounds, how far the round is, the question with
// the taster's own answer, the small keys, and the way on.

import { summary } from "./bowl-words.js";
import { key, make } from "../shared/dom.js";
import { cellOf } from "../shared/marks.js";
import * as points from "./scale-points.js";
import { countDone, inRound } from "./steps.js";
import * as wording from "./wording.js";

export function ways(rounds, at) {
  const keys = rounds.map((round) =>
    make(
      "button",
      {
        type: "button",
        "data-do": "goRound",
        "data-round-key": round.id,
        "aria-current": round === at.round && "true",
      },
      round.title,
    ),
  );
  return make(
    "div",
    { class: "ways" },
    keys.length > 1 && make("div", { class: "rounds", role: "group", "aria-label": "Rounds" }, keys),
    key("handIn", "Hand in"),
  );
}

export function progress(at, { steps, marks, state, checkSaid, open }) {
  const here = inRound(steps, at.round.id);
  const { done, all } = countDone(here, marks);
  return make(
    "p",
    { class: "under" },
    done === 0 ? wording.begin(here) : `${wording.roundTitle(at.round)}, ${done} of ${all} lines done.`,
    !wording.isPoured(state) && " Not poured yet.",
    make("br"),
    wording.isHot(at, state, open)
      ? make("span", { class: "hot" }, wording.TASTE_BELOW)
      : wording.isPoured(state)
        ? at.round.say
        : checkSaid,
  );
}

// The picture says how the bowls differ, so that words for it are only for those who hear it.
export function ask(at, said, open) {
  const isCups = at.line.kind === "cups";
  const isOpen = said.includes(null);
  return make(
    "div",
    { class: isCups ? "ask cups" : "ask scale", "aria-live": "polite" },
    make("h1", { class: "say", tabindex: -1 }, open?.length ? wording.againstOpen(at) : wording.stepTitle(at)),
    isOpen
      ? make("p", { class: "own word" }, open?.length ? "not yet" : "open")
      : isCups
        ? make("p", { class: "off" }, summary(said, at.line))
        : make("p", { class: "own" }, points.shown(said[0], at.line)),
  );
}

export function tools({ line, place, round }, said, { notes, marks }) {
  const isNoted = notes.some(({ id }) => marks.get(cellOf({ place: place.id, cup: null, line: id, round: round.id })));
  const apart = line.kind === "scale" ? points.keysOf(line).apart : [];
  return make(
    "div",
    { class: "tools" },
    notes.length > 0 && key("note", `Note on ${place.code}`, { class: isNoted ? "key on" : "key" }),
    key("takeBack", "Take back", { disabled: said.every((value) => value === null) }),
    make("span", { class: "slack" }),
    apart.map((point) => smallPoint(point, said[0], line)),
  );
}

function smallPoint(point, value, line) {
  const isOn = value !== null && (value === line.most ? value : Math.floor(value)) === point;
  return key("apart", points.shown(point, line), {
    class: isOn ? "key on" : "key",
    "aria-pressed": String(isOn),
    "data-point": point,
  });
}

export function closing() {
  return make("div", { class: "tools" }, key("note", "Close the note"));
}

// Only shown where there is a keyboard.
export function byKeyboard({ line, place }, choices) {
  const isCups = line.kind === "cups";
  const words = choices.length > 0 ? ", then the letter under a word" : "";
  const digits = isCups ? `1 to ${place.cups} touch a bowl, 0 all alike` : `type the points${words}`;
  return make("p", { class: "keyboard" }, `Keyboard: ${digits}, arrows go back and on.`);
}

export function move(at, { isFirst, next, isSettling }) {
  const [words, below] = wording.nextWords(at, next);
  return make(
    "div",
    { class: isSettling ? "move settling" : "move" },
    key("back", "Back", { disabled: isFirst }),
    key("next", words, { class: "key on" }, below && make("small", null, below)),
  );
}
