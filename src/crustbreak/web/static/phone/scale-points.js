// The keys of a scale. With parts there are two rows: four whole points, then the parts of a
// point. The top of the scale and what does not fit the rows are small keys, apart, so that no
// thumb meets them by accident. Without parts there is one key for each point.

const ROW = 4;
const TWO_ROWS = 6;

export function keysOf({ least, most, step }) {
  if (step >= 1) return { wholes: points(least, most, step), parts: [], apart: [] };
  const wholes = points(Math.floor(least), Math.ceil(most) - 1, 1);
  const top = Number.isInteger(most) ? [most] : [];
  // From nought, where it asks how much: its ends are said as often as what lies between.
  if (least === 0 && wholes.length < TWO_ROWS) {
    return { wholes: [...wholes, ...top], parts: points(0, 1 - step, step), apart: [] };
  }
  return {
    wholes: wholes.slice(-ROW),
    parts: points(0, 1 - step, step),
    apart: [...wholes.slice(0, -ROW), ...top],
  };
}

// A whole point keeps the part that is there, unless the scale ends before it; nought is nothing.
export function pressWhole(value, whole, scale) {
  const kept = value === null || whole === 0 || scale.step >= 1 ? 0 : value - Math.floor(value);
  return [settled(whole + kept), whole, scale.least].find((point) => fits(point, scale)) ?? value;
}

// A part needs a whole point to belong to.
export function pressPart(value, part, scale) {
  if (value === null) return null;
  const pressed = settled(Math.floor(value) + part);
  return fits(pressed, scale) ? pressed : value;
}

// What a key of a keyboard makes of a value. A digit that names a whole point chooses it, any
// other the part that begins with it; after a point or a comma every digit belongs to the part.
// `typed` is what was typed since then: a dot, and at most two digits.
export function typePoint(key, typed, value, scale) {
  if (key === "." || key === ",") return { value, typed: "." };
  const { wholes, parts, apart } = keysOf(scale);
  const all = [...wholes, ...apart];
  const whole = [String, (point) => String(point)[0]]
    .map((name) => all.find((point) => name(point) === key))
    .find((point) => point !== undefined);
  const soFar = typed.startsWith(".") && typed.length < 3 ? typed : "";
  if (!soFar && whole !== undefined) return { value: pressWhole(value, whole, scale), typed: "" };
  const begun = (soFar || ".") + key;
  const part = parts.find((each) => shownPart(each, scale).startsWith(begun));
  if (part === undefined) return { value, typed: "" };
  return { value: pressPart(value, part, scale), typed: begun };
}

export function shown(value, { step }) {
  return step >= 1 && Number.isInteger(value) ? String(value) : value.toFixed(decimals(step));
}

export function shownPart(part, { step }) {
  return part.toFixed(decimals(step)).slice(1);
}

// Halves need one.
function decimals(step) {
  return step % 0.5 === 0 ? 1 : 2;
}

export function anchorOf(point, { anchors }) {
  return (anchors ?? []).find(([at]) => at === point)?.[1] ?? "";
}

// Three rows of three read better than four, four and one.
export function columns(count) {
  if (count <= ROW) return count;
  return count % 3 === 0 && count <= 9 ? 3 : ROW;
}

function points(from, to, step) {
  const count = Math.max(0, Math.floor((to - from) / step + 1e-9) + 1);
  return Array.from({ length: count }, (_, index) => settled(from + index * step));
}

function fits(point, { least, most }) {
  return point >= least && point <= most;
}

// Tenths are not exact in binary: 0.1 three times is not 0.3.
function settled(point) {
  return Math.round(point * 1e6) / 1e6;
}
