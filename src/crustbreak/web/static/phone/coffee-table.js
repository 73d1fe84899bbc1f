// The names of a table that was called as one: the call first, then each coffee with its bowls
// side by side, and what every taster gave them.

import { key, make } from "../shared/dom.js";
import { shown } from "./scale-points.js";

// A coffee whose number could not be read stands by its code alone.
export function byCoffee(coffees) {
  const groups = new Map();
  for (const each of coffees) {
    const name = each.coffee ?? each.code;
    groups.set(name, [...(groups.get(name) ?? []), each]);
  }
  return [...groups].map(([name, bowls]) => ({ name, bowls }));
}

export function tableCall({ names, sheet, told }, mayCallAnew) {
  const call = callOf(names);
  const verdict = names.verdicts?.[sheet.asks];
  const anew = told.newCalls.filter(({ place }) => place === null);
  return make(
    "section",
    { class: "named", "aria-label": "The table" },
    make("p", null, "Your call: ", make("b", null, call ?? "none")),
    anew.map(({ value, reason }) =>
      make("p", null, "Since the names are known: ", make("b", null, value), `. ${reason}`),
    ),
    verdict && make("p", null, "Decided: ", make("b", null, verdict)),
    call && mayCallAnew && key("change", "Decide otherwise now", { "data-code": "" }),
  );
}

export function callOf({ coffees }) {
  return coffees.map(({ own_call: call }) => call).find(Boolean) ?? null;
}

export function coffeeTable({ name, bowls }, { names, sheet }) {
  const scored = sheet.sheet.lines.filter(({ kind }) => kind === "scale" || kind === "cups");
  const line = scored.length === 1 ? scored[0] : { title: "Total", step: 0.25 };
  const others = bowls[0].others.map(({ taster }, nth) => [
    taster,
    bowls.map((bowl) => bowl.others[nth]?.total ?? null),
  ]);
  const rows = [["You", bowls.map(({ own_total: own }) => own)], ...others];
  return make(
    "section",
    { class: "named by-bowl", "aria-label": name },
    make("h2", null, name),
    make(
      "table",
      null,
      make(
        "thead",
        null,
        make(
          "tr",
          null,
          head(line.title),
          bowls.map(({ code }) => head(code)),
        ),
      ),
      make(
        "tbody",
        null,
        rows.map(([taster, totals]) => row(taster, totals, line)),
      ),
    ),
    names.how_sure && make("p", { class: "quiet small" }, `How sure: ${names.how_sure}`),
  );
}

function row(taster, totals, line) {
  const cells = totals.map((total) => make("td", null, total === null ? "open" : shown(total, line)));
  return make("tr", null, make("th", { scope: "row" }, taster), cells);
}

function head(text) {
  return make("th", { scope: "col" }, text);
}
