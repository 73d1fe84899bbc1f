// Taking a seat: the code's token says which table, the person says who.

import { make } from "./drawing.js";
import { KeyedElement } from "./keyed-element.js";
import { jot, jotted } from "./notebook.js";
import { randomId } from "./random-id.js";
import { key } from "./sheet-drawing.js";
import { CAFFEINE, OWN_SPOON } from "./wording.js";

const TALL = { class: "key tall" };
const SCAN = "Scan the code on the laptop.";

class PhoneJoin extends KeyedElement {
  // model: { lab, token, held } where held are seats that this phone already has.
  async begin(model) {
    this.show({ ...model, table: null, chosen: null, said: "" });
    if (model.token) await this.again();
  }

  drawn({ token, held, table, chosen, said }) {
    document.title = "Take a seat · Crustbreak";
    if (!token) return [title(SCAN), ...held.map(resuming)];
    const told = make("p", { role: "status" }, said);
    if (!table && !said) return [title("Looking for the table.")];
    if (!table) return [title("No table yet."), told, key("again", "Try again", TALL)];
    return [
      make("p", { class: "quiet" }, table.asks),
      title(chosen ? `You are ${chosen.taster}?` : "Who are you?"),
      said && told,
      make("div", { class: "seats" }, chosen ? confirming(chosen) : table.seats.map(choosing)),
      make("p", { class: "small" }, OWN_SPOON),
      make("p", { class: "small" }, CAFFEINE),
    ];
  }

  // Which seats there are, now.
  async again() {
    const { lab, token } = this.model;
    this.show({ ...this.model, said: "" });
    try {
      const table = await lab.join(token);
      if (this.tell("table", table.table)) this.show({ ...this.model, table });
    } catch (error) {
      this.show({ ...this.model, table: null, said: reason(error) });
    }
  }

  choose({ seat }) {
    const chosen = this.model.table.seats.find(({ id }) => id === seat);
    this.show({ ...this.model, chosen, said: "" });
  }

  other() {
    this.show({ ...this.model, chosen: null });
  }

  async sit() {
    const { lab, token, chosen } = this.model;
    if (this.isAsking) return;
    this.isAsking = true;
    try {
      const secret = ownSecret(token);
      const seat = await lab.sit(chosen.id, token, secret);
      this.tell("seated", { ...seat, token, secret });
    } catch (error) {
      if (error.status === 409) await this.again();
      this.show({ ...this.model, chosen: null, said: reason(error) });
    }
    this.isAsking = false;
  }

  resume({ table }) {
    this.tell("seated", this.model.held.find((seat) => seat.table === table));
  }
}

// Made once for a table and down before it is said, also where the phone keeps nothing else.
function ownSecret(token) {
  const name = `secret ${token}`;
  const secret = jotted(name) ?? randomId();
  jot(name, secret);
  return secret;
}

function resuming({ table, seat }) {
  return key("resume", `Go on as ${seat.taster}`, { ...TALL, "data-table": table });
}

function choosing({ id, taster, taken }) {
  const attributes = { ...TALL, "data-seat": id, disabled: taken };
  return key("choose", taster, attributes, taken && make("small", null, "taken"));
}

// A seat once taken is not given back by one more touch, so that this one takes two.
function confirming({ taster }) {
  return [
    key("sit", `Sit down as ${taster}`, { class: "key tall go" }),
    key("other", "Another name", TALL),
  ];
}

function reason({ status, said }) {
  if (said) return [said.message, said.hint].filter(Boolean).join(" ");
  if (status === 409) return "That seat was just taken.";
  return "The lab is not in reach. Is this phone on the same Wi-Fi as the laptop?";
}

function title(text) {
  return make("h1", { class: "say", tabindex: -1 }, text);
}

customElements.define("phone-join", PhoneJoin);
