// Taking a seat: the code's token says which table, the person says who.

import { randomId } from "./randomness.js";
import { key, make } from "../shared/dom.js";
import { ActionElement } from "../shared/action-element.js";
import { saveDraft, readDraft } from "./drafts.js";
import { CAFFEINE, OWN_SPOON } from "./wording.js";

const SIX = "The code has 6 signs, from 2 to 9 and A to Z without I, L and O.";
const WRONG = "The lab knows no such code. Look at the laptop once more: it may be another by now.";
const TAKE_OVER = "The device that was used until now can then only be read.";
const HELP = "It shows the codes and the bowls and takes the first pour and the first break.";
const TALL = { class: "key tall" };
const SCAN = "Scan the code on the laptop.";
const SIGNS = /^[2-9A-HJKMNP-Z]{6}$/;

class PhoneJoin extends ActionElement {
  // model: { api, token, held } where held are seats that this phone already has.
  constructor() {
    super();
    // The key of the form is what acts; Enter in the box presses it.
    this.addEventListener("submit", (event) => event.preventDefault());
  }

  async begin(model) {
    this.show({ ...model, table: null, chosen: null, said: "" });
    if (model.token) await this.again();
  }

  drawn({ token, held, table, chosen, said }) {
    document.title = "Take a seat · Crustbreak";
    const told = make("p", { role: "status" }, said);
    if (!token) return [title(SCAN), typing(told), ...held.map(resuming)];
    if (!table && !said) return [title("Looking for the table.")];
    if (!table) return [title("No table yet."), told, key("again", "Try again", TALL)];
    if (table.way === "helper") return helping(table, told);
    return [
      make("p", { class: "quiet" }, table.asks),
      title(asking(table, chosen)),
      isPass(table) && make("p", null, TAKE_OVER),
      said && told,
      make("div", { class: "seats" }, chosen ? confirming(chosen, isPass(table)) : table.seats.map(choosing)),
      make("p", { class: "small" }, OWN_SPOON),
      make("p", { class: "small" }, CAFFEINE),
    ];
  }

  // Which seats there are, now.
  async again() {
    const { api, token } = this.model;
    this.show({ ...this.model, said: "" });
    try {
      const table = await api.join(token);
      // A pass for one seat is meant for this phone, whatever else it holds.
      if (table.way === "table" && !this.tell("table", table.table)) return;
      this.show({ ...this.model, table, chosen: isPass(table) ? table.seats[0] : null });
    } catch (error) {
      this.show({ ...this.model, table: null, said: reason(error) });
    }
  }

  // What was typed stays in the box, whatever becomes of it.
  async typed() {
    const code = this.querySelector("input").value.replace(/[\s-]/g, "").toUpperCase();
    if (!SIGNS.test(code)) return this.show({ ...this.model, said: SIX });
    if (this.isAsking) return;
    this.isAsking = true;
    try {
      const { token } = await this.model.api.code(code);
      this.tell("token", token);
    } catch (error) {
      this.show({ ...this.model, said: error.status === 404 ? WRONG : reason(error) });
    }
    this.isAsking = false;
  }

  choose({ seat }) {
    const chosen = this.model.table.seats.find(({ id }) => id === seat);
    this.show({ ...this.model, chosen, said: "" });
  }

  other() {
    this.show({ ...this.model, chosen: null });
  }

  async sit() {
    const { api, token, chosen } = this.model;
    if (this.isAsking) return;
    this.isAsking = true;
    try {
      const secret = ownSecret(token);
      const seat = await api.sit(chosen.id, token, secret);
      this.tell("seated", { ...seat, token, secret });
    } catch (error) {
      if (error.status === 409) await this.again();
      const { table } = this.model;
      const still = table && isPass(table) ? chosen : null;
      this.show({ ...this.model, chosen: still, said: reason(error) });
    }
    this.isAsking = false;
  }

  async help() {
    const { api, token } = this.model;
    if (this.isAsking) return;
    this.isAsking = true;
    try {
      const secret = ownSecret(token);
      this.tell("seated", { ...(await api.help(token, secret)), token, secret });
    } catch (error) {
      this.show({ ...this.model, said: reason(error) });
    }
    this.isAsking = false;
  }

  resume({ held }) {
    this.tell(
      "seated",
      this.model.held.find((seat) => seat.key === held),
    );
  }
}

// Made once for a table and down before it is said, also where the phone keeps nothing else.
function ownSecret(token) {
  const name = `secret ${token}`;
  const secret = readDraft(name) ?? randomId();
  saveDraft(name, secret);
  return secret;
}

function helping({ asks }, told) {
  return [
    make("p", { class: "quiet" }, asks),
    title("Tap the pours on this device?"),
    make("p", null, HELP),
    told,
    key("help", "Help at the table", { class: "key tall go" }),
  ];
}

function resuming({ key: held, seat }) {
  return key("resume", `Go on as ${seat?.taster ?? "helper"}`, { ...TALL, "data-held": held });
}

function typing(told) {
  const box = {
    name: "code",
    autocomplete: "off",
    autocapitalize: "characters",
    spellcheck: "false",
    enterkeyhint: "go",
    maxlength: 12,
  };
  return make(
    "form",
    { class: "typing" },
    make("label", null, "Or type its 6 signs", make("input", box)),
    told,
    make("button", { class: "key tall go", "data-do": "typed" }, "Go on"),
  );
}

function isPass({ way }) {
  return way === "seat";
}

function asking(table, chosen) {
  if (isPass(table)) return `Go on as ${table.seats[0].taster} on this phone?`;
  return chosen ? `You are ${chosen.taster}?` : "Who are you?";
}

function choosing({ id, taster, taken }) {
  const attributes = { ...TALL, "data-seat": id, disabled: taken };
  return key("choose", taster, attributes, taken && make("small", null, "taken"));
}

// A seat once taken is not given back by one more touch, so that this one takes two.
function confirming({ taster }, isPass) {
  return [key("sit", `Sit down as ${taster}`, { class: "key tall go" }), !isPass && key("other", "Another name", TALL)];
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
