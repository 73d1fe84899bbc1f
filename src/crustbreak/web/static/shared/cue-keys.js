// <cue-keys> turns sound and voice on and off, each by one key; both are off until somebody wants
// them, and this device remembers. `announce` tells whoever listens that an act has fallen due.

import { speakAct } from "./table-cues.js";

const NAMES = { sound: "Sound", voice: "Voice" };
// A tone for each work, so that it is known without looking, Hz.
const TONES = { pour: 392, break: 523, skim: 440, taste: 659, round: 659 };
const TONE_S = 0.35;
const LOUD = 0.2;

let audio = null;
let announced = "";

// A browser that keeps nothing has them off each time.
export function isOn(name) {
  try {
    return localStorage.getItem(`cue ${name}`) === "on";
  } catch {
    return false;
  }
}

// Heard at once when it is turned on, so that it is known to be loud enough.
export function turn(name) {
  const wanted = !isOn(name);
  try {
    localStorage.setItem(`cue ${name}`, wanted ? "on" : "off");
  } catch {
    return;
  }
  if (wanted && name === "sound") sound(TONES.pour);
  if (wanted && name === "voice") speak("Voice on");
}

// A browser lets a page be heard once it was touched; after that it stays so.
export function wake() {
  if (!isOn("sound") || !has("sound")) return;
  audio ??= new AudioContext();
  audio.resume();
}

export function sayKey(name) {
  if (name === "sound" && isOn(name) && audio?.state === "suspended") {
    return "Sound on: touch the page to hear it";
  }
  return `${NAMES[name]} ${isOn(name) ? "on" : "off"}`;
}

// Those that this device can give.
export const CUES = Object.keys(NAMES).filter(has);

function has(name) {
  return name === "voice" ? "speechSynthesis" in globalThis : "AudioContext" in globalThis;
}

// Once for each act, however often it is seen to be due.
export function announce(act, at = "") {
  const name = act ? `${at} ${act.work} ${act.code ?? act.title} ${act.cup} ${act.due}` : announced;
  if (name === announced) return;
  announced = name;
  if (isOn("sound")) sound(TONES[act.work]);
  if (isOn("voice") && has("voice")) speak(speakAct(act));
}

function sound(hertz) {
  if (!has("sound")) return;
  audio ??= new AudioContext();
  audio.resume();
  const [tone, volume, now] = [audio.createOscillator(), audio.createGain(), audio.currentTime];
  tone.frequency.value = hertz;
  volume.gain.setValueAtTime(0, now);
  volume.gain.linearRampToValueAtTime(LOUD, now + 0.03);
  volume.gain.linearRampToValueAtTime(0, now + TONE_S);
  tone.connect(volume).connect(audio.destination);
  tone.start(now);
  tone.stop(now + TONE_S);
}

function speak(text) {
  // The last bowl's words must not run into the next one's.
  speechSynthesis.cancel();
  const said = new SpeechSynthesisUtterance(text);
  said.lang = "en-GB";
  speechSynthesis.speak(said);
}

globalThis.document?.addEventListener("pointerdown", wake);

const Base = /** @type {typeof HTMLElement} */ (globalThis.HTMLElement ?? Object);

class CueKeys extends Base {
  connectedCallback() {
    this.setAttribute("role", "group");
    this.setAttribute("aria-label", "Cues");
    wake();
    this.replaceChildren(...CUES.map((name) => this.#key(name)));
  }

  #key(name) {
    const key = document.createElement("button");
    key.type = "button";
    key.className = "key";
    const show = () => {
      key.setAttribute("aria-pressed", String(isOn(name)));
      key.textContent = sayKey(name);
    };
    key.addEventListener("click", () => {
      turn(name);
      show();
    });
    show();
    if (name === "sound") audio?.addEventListener("statechange", show);
    return key;
  }
}

if ("customElements" in globalThis) customElements.define("cue-keys", CueKeys);
