// The table from above on a helper's page: each bowl as it is, to be touched where it differs.

import { cupsAt } from "./table-cues.js";
import { bowl, make } from "./dom.js";
import { factsOf } from "./help-bowl.js";

const DRAWN = {
  empty: ["empty", "empty"],
  dosed: ["bare", "bare grounds"],
  poured: ["crust", "crust"],
  broken: ["broken", "broken"],
  skimmed: ["skimmed", "skimmed"],
  spilt: ["spilt", "spilt"],
};
// A word of more signs than this has no room between two bowls of a narrow screen.
const SHORT = 8;

// Many coffees stand closer, and their words are smaller; a coffee of one bowl has its word below.
export function tableClass(places) {
  const isSingle = places.every(({ cups }) => cups === 1);
  return ["table", places.length > 5 && "many", isSingle && "single"].filter(Boolean).join(" ");
}

// While the lab does not answer, the picture goes on by the clocks that it gave last.
export function cupsNow({ state, trouble, outbox }, can, since) {
  const isAlone = trouble === "away" || outbox.counts.phone > 0;
  if (!isAlone || !state.run || typeof since !== "number") return state.cups;
  const run = { isPoured: true, isBroken: !can.includes("broken") };
  return cupsAt(state.run.clocks, run, since);
}

// One word for a run of bowls that agree, as on the host's picture.
export function picture({ sheet, state, cups: held }, facts, { next, due }) {
  return sheet.places.map(({ id, code, cups }, index) => {
    const states = Array.from({ length: cups }, (_, nth) => held?.[id]?.[nth] ?? "empty");
    const notes = states.map((each, nth) =>
      each !== "spilt" && factsOf(facts, id, nth + 1).length > 0 ? "noted" : "",
    );
    const bowls = states.map((each, nth) => {
      const [drawing, word] = DRAWN[each] ?? DRAWN.empty;
      const isLong = nth + 1 < cups && word.length > SHORT;
      const isRun = each === states[nth + 1] && notes[nth] === notes[nth + 1];
      const note = notes[nth];
      const isNext = Boolean(next) && index === 0 && nth === 0;
      const label = `${code}, bowl ${nth + 1}: ${[word, note].filter(Boolean).join(", ")}${isNext ? ", next" : ""}`;
      return cup({
        drawing,
        label,
        isNext,
        word: isRun ? "" : word,
        note,
        isLong,
        name: `${id}.${nth + 1}`,
        isDue: due === `${id}.${nth + 1}`,
        at: state.may_note && { id, cup: nth + 1 },
      });
    });
    return make("div", { class: "coffee" }, make("p", { class: "code" }, code), make("ol", { class: "cups" }, bowls));
  });
}

function cup({ drawing, label, isNext, word, note, isLong, name, isDue, at }) {
  const drawn = bowl(drawing);
  drawn.removeAttribute("aria-hidden");
  drawn.setAttribute("role", "img");
  drawn.setAttribute("aria-label", label);
  const said = make(
    "b",
    { class: isNext ? "next" : isLong ? "word long" : "word", "aria-hidden": "true" },
    make("span", null, isNext ? "next" : word),
    note && make("em", null, ` ${note}`),
  );
  const touched = at
    ? make(
        "button",
        { type: "button", class: "touch", "data-do": "touch", "data-place": at.id, "data-cup": at.cup },
        drawn,
      )
    : drawn;
  return make(
    "li",
    { class: ["one", isNext && "next", isDue && "due"].filter(Boolean).join(" "), "data-bowl": name },
    touched,
    said,
  );
}
