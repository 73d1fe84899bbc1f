// One word of several, beside a scale: where it is asked, and by which letter of a keyboard.

import { valuesOf } from "../shared/marks.js";

// Where the scale says that there is nothing, there is nothing more to tell of it.
export function isAsked(step, marks) {
  const [value] = valuesOf(step, marks);
  return value !== null && value > step.line.least;
}

// Each word has a letter of its own: the first of it that no word before it has taken.
export function lettersOf(choices) {
  const letters = new Map();
  for (const option of choices.flatMap(({ options }) => options)) {
    const isFree = (sign) => /[a-z]/.test(sign) && ![...letters.values()].includes(sign);
    const letter = [...option.said.toLowerCase()].find(isFree);
    if (letter) letters.set(option, letter);
  }
  return letters;
}

// A word as it stands around its letter: before it, the letter, after it.
export function parted(said, letter) {
  const at = letter ? said.toLowerCase().indexOf(letter) : said.length;
  return [said.slice(0, at), said.slice(at, at + 1), said.slice(at + 1)];
}
