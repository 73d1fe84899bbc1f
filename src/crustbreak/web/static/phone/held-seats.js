// A seat that this phone holds, and for how long it is kept.

const WEEK_MS = 7 * 24 * 3600 * 1000;

// Two seats of one table may be held by one phone, one after the other.
export function keyOf({ table, seat }) {
  return `${table}/${seat?.id ?? "helper"}`;
}

// Only a decision ends it: what was said stays on the phone until a week after that. A seat of
// which no decision is known stays for good. `now` is the phone's clock, the decision the lab's.
export function isPast({ decided_at: decidedAt, offset }, now) {
  return Boolean(decidedAt) && now + (offset?.ms ?? 0) - Date.parse(decidedAt) > WEEK_MS;
}

// Of several seats at one table, the one that this phone still has: the last that it took.
export function heldAt(held, table) {
  const seats = held.filter((seat) => seat.table === table && !seat.helper);
  return seats.sort((a, b) => isOurs(b) - isOurs(a))[0];
}

function isOurs({ holds }) {
  return holds === false ? 0 : 1;
}
