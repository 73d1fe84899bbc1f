// One scale: the whole points, then the parts of a point.

import { make } from "../shared/dom.js";
import { ActionElement } from "../shared/action-element.js";
import * as points from "./scale-points.js";

class ScaleLine extends ActionElement {
  drawn({ line, value }) {
    const { wholes, parts } = points.keysOf(line);
    const whole = value === null ? null : parts.length > 0 ? Math.floor(value) : value;
    const row = (count) => `keys by-${points.columns(count)}`;
    return [
      make(
        "div",
        { class: row(wholes.length), role: "group", "aria-label": "Whole points" },
        wholes.map((point) => this.#whole(point, whole === point, line)),
      ),
      parts.length > 0 &&
        make(
          "div",
          { class: row(parts.length), role: "group", "aria-label": "Parts of a point" },
          parts.map((part) => this.#part(part, value, line)),
        ),
    ];
  }

  whole({ point }) {
    this.#say(points.pressWhole(this.model.value, Number(point), this.model.line));
  }

  // `part` alone is what an element has for style sheets.
  pressPart({ part }) {
    this.#say(points.pressPart(this.model.value, Number(part), this.model.line));
  }

  #say(value) {
    this.tell("say", [{ cup: 1, value }]);
  }

  #whole(point, isOn, line) {
    const anchor = points.anchorOf(point, line);
    const does = { "data-do": "whole", "data-point": point };
    const said = { "aria-label": point, "aria-description": anchor || null };
    return make(
      "button",
      { ...pressed("key", isOn), ...does, ...said },
      String(point),
      anchor ? make("small", null, anchor) : null,
    );
  }

  #part(part, value, line) {
    const shown = points.shownPart(part, line);
    const isOn = value !== null && points.shownPart(value - Math.floor(value), line) === shown;
    const isIdle = value === null || (!isOn && points.pressPart(value, part, line) === value);
    return make(
      "button",
      { ...pressed("key part", isOn), "data-do": "pressPart", "data-part": part, disabled: isIdle },
      shown,
    );
  }
}

function pressed(name, isOn) {
  return { type: "button", class: isOn ? `${name} on` : name, "aria-pressed": String(isOn) };
}

customElements.define("scale-line", ScaleLine);
