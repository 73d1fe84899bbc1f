// How far the lab's clock is from this phone's. Each exchange gives one guess: the lab's moment
// against the middle between sending and hearing. It is off by half the round trip at most, so
// that of the last eight the one with the least round trip is taken.

const LAST = 8;
// What a clock drifts between two guesses, generously.
const DRIFT_MS = 100;

export class ClockOffsets {
  #guesses = [];

  // All in ms since 1970: the phone's clock for `sent` and `heard`, the lab's for `lab`.
  hear({ sent, heard, lab }) {
    if (!Number.isFinite(lab) || heard < sent) return;
    const guess = { ms: lab - (sent + heard) / 2, trip: heard - sent };
    const { best } = this;
    // Further apart than both can be off: somebody has set a clock.
    const isMoved = best && Math.abs(best.ms - guess.ms) > (best.trip + guess.trip) / 2 + DRIFT_MS;
    this.#guesses = [...(isMoved ? [] : this.#guesses), guess].slice(-LAST);
  }

  // { ms, trip }, or null before the first exchange. Of two equal ones the newer.
  get best() {
    const least = (best, guess) => (best && best.trip < guess.trip ? best : guess);
    return this.#guesses.reduce(least, null);
  }
}

// Seconds since the first pour, at a moment of the phone's clock; null before it. A lab that is
// away does not stop the clock.
export function sincePourS(state, offset, now) {
  const then = state?.since_pour_s ?? null;
  if (then === null || !offset) return then;
  return then + Math.max(0, (now + offset.ms - Date.parse(state.now)) / 1000);
}
