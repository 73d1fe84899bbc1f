// What is still open before a hand-in, as a list that can be read.

import { lowerFirst, stepTitle } from "./wording.js";

// More lines than this are counted by code.
const FEW = 20;

// Line by line, or code by code where there are many: what to say, and the index of the line that a
// touch leads to.
export function listed(open) {
  if (open.length <= FEW) return open.map((step, index) => [lowerFirst(stepTitle(step)), index]);
  const codes = [...new Set(open.map(({ place }) => place))];
  return codes.map((place) => {
    const count = open.filter((step) => step.place === place).length;
    const first = open.findIndex((step) => step.place === place);
    return [`${place.code}, ${count === 1 ? "1 line" : `${count} lines`}`, first];
  });
}
