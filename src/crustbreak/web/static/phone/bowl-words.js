// Words for the bowls of one place. The first option is the usual one. `said` has one word (an
// option's id, or null) for each bowl, and every answer is a list of changes, since each bowl is
// an entry of its own.

// Touching a bowl steps through the other words and back to the usual one. A bowl that has no
// word yet gets the usual one as soon as another is touched.
export function touchBowl(said, cup, options) {
  const ids = options.map((option) => option.id);
  const next = ids[(Math.max(0, ids.indexOf(said[cup - 1])) + 1) % ids.length];
  return changes(said, (word, index) => (index === cup - 1 ? next : (word ?? ids[0])));
}

export function allAlike(said, options) {
  return changes(said, () => options[0].id);
}

export function takeBack(said) {
  return changes(said, () => null);
}

// The summary says what differs, and only that.
export function summary(said, line) {
  const usual = line.options[0].id;
  if (said.every((word) => word === null)) return "";
  const others = said.flatMap((word, index) => (word === usual || word === null ? [] : [index]));
  if (others.length === 0) return said.includes(null) ? "begun" : line.all_alike || "all alike";
  return others.map((index) => `${index + 1} ${saidOf(said[index], line)}`).join(", ");
}

export function saidOf(word, line) {
  return line.options.find((option) => option.id === word)?.said ?? "";
}

function changes(said, wordOf) {
  return said.flatMap((word, index) => {
    const value = wordOf(word, index);
    return value === word ? [] : [{ cup: index + 1, value }];
  });
}
