// The codes have names: own and others' totals, each with how sure it is, and the own call.

import { make } from "./drawing.js";
import { KeyedElement } from "./keyed-element.js";
import { key } from "./sheet-drawing.js";

class PhoneUncovered extends KeyedElement {
  // model: the sitting.
  drawn({ names, state }) {
    document.title = "Uncovered · Crustbreak";
    const said = state.flight === "decided" ? "Uncovered and decided." : "Uncovered.";
    const title = make("h1", { class: "say", tabindex: -1 }, said);
    if (!names) return [title, make("p", null, "The names are on their way.")];
    return [
      title,
      make("p", null, names.occasion),
      names.coffees.map((coffee) => named(coffee, names)),
      make("div", { class: "move one" }, key("look", "Look at your marks")),
    ].flat();
  }

  look() {
    this.tell("look", "marks");
  }
}

function named(coffee, { how_sure: howSure, verdicts }) {
  const { code, coffee: name, own_total: own, own_missing: open, own_call: call } = coffee;
  const others = coffee.others.map((other) => row(other.taster, other.total, howSure));
  return make(
    "section",
    { class: "named", "data-code": code, "aria-label": name },
    make("h2", null, make("b", null, code), " ", name),
    make(
      "table",
      null,
      make("thead", { class: "off" }, make("tr", null, head("Taster"), head("Total, how sure"))),
      make("tbody", null, row("You", own, howSure), others),
    ),
    open.length > 0 && make("p", null, `You left open: ${open.join(", ").toLowerCase()}.`),
    make("p", null, "Your call: ", make("b", null, call ?? "none")),
    decided(verdicts?.[name] ?? verdicts?.[code]),
  );
}

function decided(verdict) {
  return verdict && make("p", null, "Decided: ", make("b", null, verdict));
}

// A number never stands without how sure it is.
function row(taster, total, howSure) {
  const sure = howSure && make("small", null, `how sure: ${howSure}`);
  const told = total === null ? ["no total"] : [`${total.toFixed(2)} `, sure];
  return make("tr", null, make("th", { scope: "row" }, taster), make("td", null, ...told));
}

function head(text) {
  return make("th", { scope: "col" }, text);
}

customElements.define("phone-uncovered", PhoneUncovered);
