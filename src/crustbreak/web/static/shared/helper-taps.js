// What a helper's device makes of its own taps before the lab has them: they have happened.

import { inOrder } from "./marks.js";

// What can be tapped after each tap; `undone poured` takes the first pour back.
const THEN = {
  poured: ["broken", "undo poured"],
  broken: ["skimmed", "undo broken"],
  skimmed: ["undo skimmed"],
  "undone poured": ["poured"],
  "undone broken": ["broken", "undo poured"],
  "undone skimmed": ["skimmed", "undo broken"],
};

// What can be tapped now, by what the lab said last and what is still on this device.
export function canTap(can, entries) {
  const waiting = inOrder(entries.filter((entry) => !entry.answer));
  return waiting.reduce((now, entry) => THEN[nameOf(entry)] ?? now, can ?? []);
}

// Seconds since the first pour: the lab's, or by a pour that is still on this device only.
export function sinceTapS(sinceS, entries, now) {
  const waiting = inOrder(entries.filter((entry) => !entry.answer));
  return waiting.reduce((since, entry) => {
    if (nameOf(entry) === "poured") return Math.max(0, now - Date.parse(entry.device_time)) / 1000;
    return nameOf(entry) === "undone poured" ? null : since;
  }, sinceS);
}

// The lab says what was wrong with a tap; it stands there until another one is made.
export function lastAside(entries) {
  const last = inOrder(entries).at(-1);
  return last?.answer?.word === "set aside" ? last : null;
}

// 125 seconds as 2:05.
export function span(seconds) {
  const two = (number) => String(number).padStart(2, "0");
  const whole = Math.max(0, Math.floor(seconds));
  const minutes = Math.floor(whole / 60);
  if (minutes < 60) return `${minutes}:${two(whole % 60)}`;
  return `${Math.floor(minutes / 60)}:${two(minutes % 60)}:${two(whole % 60)}`;
}

function nameOf({ kind, value }) {
  return kind === "undone" ? `undone ${value}` : kind;
}
