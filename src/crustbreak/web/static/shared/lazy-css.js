// Styles for parts that are fetched when their turn comes.

import { make } from "./dom.js";

const links = new Map();

// A part comes dressed; should its dress not come, all of it still works.
export function loadCss(name) {
  if (!links.has(name)) links.set(name, put(`/static/${name}.css`));
  return links.get(name);
}

function put(href) {
  const link = make("link", { rel: "stylesheet", href });
  return new Promise((resolve) => {
    link.onload = link.onerror = resolve;
    document.head.append(link);
  });
}
