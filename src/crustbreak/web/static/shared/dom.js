// Elements made in script, and a way to redraw them that leaves what has not changed alone:
// a key must stay the same element between touch and release, whatever arrives meanwhile.

const SVG = "http://www.w3.org/2000/svg";

export function make(name, attributes, ...children) {
  return dress(document.createElement(name), attributes, children);
}

export function key(act, text, more, ...inside) {
  const attributes = { type: "button", class: "key", "data-do": act, ...more };
  return make("button", attributes, text, ...inside);
}

export function bowl(state, isCrossed = false) {
  const svg = dress(document.createElementNS(SVG, "svg"), {
    class: "bowl",
    viewBox: "0 0 100 100",
    "aria-hidden": "true",
  });
  for (const id of isCrossed ? [state, "cross"] : [state]) {
    svg.append(dress(document.createElementNS(SVG, "use"), { href: `#${id}` }));
  }
  return svg;
}

function dress(element, attributes, children = []) {
  for (const [name, value] of Object.entries(attributes ?? {})) {
    if (value === false || value === null || value === undefined) continue;
    element.setAttribute(name, value === true ? "" : value);
  }
  element.append(...children.flat().filter(isThere));
  return element;
}

// Make `parent` hold what `wanted` holds, keeping every element that can be kept.
export function draw(parent, ...wanted) {
  const fresh = wanted.flat().filter(isThere);
  fresh.forEach((node, index) => {
    const old = parent.childNodes[index];
    if (old === node) return;
    if (!old) parent.append(node);
    else if (!mayBecome(old, node)) old.replaceWith(node);
    else if (old instanceof Element) become(old, node);
    else if (old.nodeValue !== node.nodeValue) old.nodeValue = node.nodeValue;
  });
  while (parent.childNodes.length > fresh.length) parent.lastChild.remove();
}

// `condition && make(...)` leaves what the condition was.
function isThere(child) {
  return child instanceof Node || (typeof child === "string" && child !== "");
}

function mayBecome(old, fresh) {
  return old.nodeName === fresh.nodeName && old.id === fresh.id;
}

function become(old, fresh) {
  for (const { name } of [...old.attributes]) {
    if (!fresh.hasAttribute(name)) old.removeAttribute(name);
  }
  for (const { name, value } of fresh.attributes) {
    if (old.getAttribute(name) !== value) old.setAttribute(name, value);
  }
  draw(old, ...fresh.childNodes);
}
