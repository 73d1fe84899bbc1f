// The phone tries itself out before the pour: whether it keeps, whether it hears, how fast the
// lab answers. Once the water is on, nobody has time to find out.

const HEARS_WITHIN_MS = 5000;
// Slower than this and a tap seems to do nothing.
const SLOW_MS = 1000;

export const ALL_WELL = "This phone keeps marks and the lab hears it.";

// keeps: tells whether the store gives back what it took; hears: settles when the stream speaks.
export async function checkPhone({ keeps, hears, offsets, wait = waitMs }) {
  const late = wait(HEARS_WITHIN_MS).then(() => false);
  const [isKept, isHeard] = await Promise.all([
    keeps().catch(() => false),
    Promise.race([
      hears.then(
        () => true,
        () => false,
      ),
      late,
    ]),
  ]);
  const { ms, trip } = offsets.best ?? { ms: 0, trip: 0 };
  return { keeps: isKept, streams: isHeard, round_trip_ms: trip, offset_ms: Math.round(ms) };
}

// What to say of it. That the phone keeps nothing is said elsewhere, and for longer.
export function checkText({ keeps, streams, round_trip_ms: tripMs }) {
  if (!keeps) return "This phone cannot keep marks: see above.";
  if (tripMs > SLOW_MS) {
    return "Slow Wi-Fi: marks are kept and arrive late. Move nearer to the router, or ask the host.";
  }
  return streams ? ALL_WELL : "Marks are kept. The lab's word comes late here: nothing to do.";
}

function waitMs(ms) {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
