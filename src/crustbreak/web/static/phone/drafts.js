// Small things that must be down at once, within the call: a note that is still being typed,
// and the step at which the person stands. A phone that refuses goes without.

const PREFIX = "crustbreak ";

export function saveDraft(name, text) {
  try {
    localStorage.setItem(PREFIX + name, text);
  } catch {
    // Full or refused. The note's entry follows within a second.
  }
}

export function readDraft(name) {
  try {
    return localStorage.getItem(PREFIX + name);
  } catch {
    return null;
  }
}

export function removeDraft(name) {
  try {
    localStorage.removeItem(PREFIX + name);
  } catch {
    // As above.
  }
}

export function draftsUnder(start) {
  try {
    return Object.keys(localStorage)
      .filter((key) => key.startsWith(PREFIX + start))
      .map((key) => key.slice(PREFIX.length));
  } catch {
    return [];
  }
}
