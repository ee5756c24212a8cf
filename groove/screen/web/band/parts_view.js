// The players in the form: how loud, how far to the left or right, and who is silent.

import { html } from "../../practice/screen/svg.js";
import { say, wordFor } from "../../practice/music/words.js";
import { newStep } from "../state.js";
import { levelInWords, placeIn, placeInWords } from "./mix_words.js";
import { silentIn, tacetOf } from "./tacet.js";

const RANGES = { level: [-12, 6, 1], place: [-100, 100, 5] }; // dB; from left to right
const CHORDS = ["comping", "guitar", "keys"]; // whoever plays chords

export class PartsView {
  #rows = new Map();
  #fields = {};

  /** context: see parts.js. */
  constructor({ state, listen, announce }) {
    Object.assign(this, { state, listening: listen.listening, announce });
    this.rows = html("div", { class: "levels" });
    this.reset = html("button", { type: "button", id: "levels-back" }, say("band.levels.back"));
    this.bars = html("p", { class: "hint", hidden: true }, say("band.levels.by_bars"));
    const hint = html("p", { class: "hint" }, say("band.levels.hint"));
    document.getElementById("band-parts").append(hint, this.rows, this.bars, this.reset);
    this.reset.addEventListener("click", () => this.#reset());
    listen.onMusic(() => state.isBehind || this.show(state.now)); // else a slider that moves would jump back
  }

  /** Shows the players of a state. */
  show({ fields }) {
    const heard = this.listening.stage?.settings.parts.filter((part) => part !== "click") ?? [];
    this.#fields = fields;
    this.silent = silentIn(fields.tacet);
    const silent = [...(this.silent ?? [])].filter((part) => !CHORDS.includes(part) || !heard.some((each) => CHORDS.includes(each)));
    const parts = [...new Set([...heard, ...silent])];
    if (parts.join() !== [...this.#rows.keys()].join()) this.#make(parts);
    for (const part of parts) this.#show(part, heard.includes(part));
    this.bars.hidden = this.silent !== null;
    this.reset.setAttribute("aria-disabled", String(!fields.levels && !fields.places));
  }

  #make(parts) {
    const focused = document.activeElement?.id;
    this.#rows = new Map(parts.map((part) => [part, this.#row(part)]));
    this.rows.replaceChildren(...[...this.#rows.values()].map(({ element }) => element));
    if (focused && !document.activeElement?.id) document.getElementById(focused)?.focus();
  }

  #row(part) {
    const name = wordFor("listen.parts", part);
    const level = this.#slider(part, name, "level");
    const place = this.#slider(part, name, "place");
    const plays = html("input", { type: "checkbox", id: `plays-${part}` });
    plays.addEventListener("change", () => this.#silence(part, name, !plays.checked));
    const check = html("label", { class: "check" }, plays, ` ${say("band.levels.plays")}`);
    const back = html("button", { type: "button", class: "level-back", "aria-label": say("band.levels.back_of", { part: name }) }, say("band.levels.as_mixed"));
    back.addEventListener("click", () => this.#reset(part, name));
    const title = html("h4", { id: `player-${part}` }, name);
    const element = html("div", { class: "level-row", role: "group", "aria-labelledby": `player-${part}` }, title, level.element, place.element, check, back);
    return { element, level, place, plays, back };
  }

  #slider(part, name, kind) {
    const [min, max, step] = RANGES[kind];
    const input = html("input", { type: "range", id: `${kind}-${part}`, min, max, step, "aria-label": say(`band.levels.${kind}_of`, { part: name }) });
    const words = html("span", { class: "level-words", "aria-hidden": "true" });
    const element = html("div", { class: "level-field" }, html("span", { "aria-hidden": "true" }, say(`band.levels.${kind}`)), words, input);
    const slider = { element, input, words, step: "" };
    for (const begin of ["focus", "pointerdown"]) input.addEventListener(begin, () => (slider.step = newStep()));
    input.addEventListener("input", () => this.#move(part, kind, slider));
    return slider;
  }

  /** What the form says of a player; undefined where it says nothing. */
  #asked(part, field) {
    const given = this.#fields[field] ?? {};
    const others = CHORDS.includes(part) ? (part === "comping" ? ["guitar", "keys"] : ["comping"]) : [];
    return [part, ...others].map((each) => given[each]).find((value) => value !== undefined);
  }

  #show(part, isHeard) {
    const { level, place, plays, back } = this.#rows.get(part);
    const [asked, at] = [this.#asked(part, "levels"), placeIn(this.#asked(part, "places"))];
    level.input.disabled = place.input.disabled = !isHeard;
    setTo(level, asked ?? 0, levelInWords(asked ?? 0));
    const there = at ?? this.listening.mix[part]?.usual ?? 0;
    setTo(place, there, placeInWords(there, at !== null));
    back.hidden = asked === undefined && at === null;
    plays.checked = !this.silent?.has(part);
    plays.disabled = this.silent === null;
  }

  /** Lets a move be heard at once, and writes it into the form once the slider rests. */
  #move(part, name, slider) {
    const value = slider.input.valueAsNumber;
    if (name === "level") this.listening.tryLevel(part, value);
    else this.listening.tryPlace(part, value);
    setTo(slider, value, name === "level" ? levelInWords(value) : placeInWords(value, true));
    const isUsual = name === "level" && value === 0;
    this.state.type({ do: "mix", player: part, name, value: isUsual ? null : value, step: slider.step });
  }

  /** Takes what the form says of a player out of it, or of all players. */
  async #reset(part, name) {
    if (!part && this.reset.getAttribute("aria-disabled") === "true") return;
    if (part) this.#rows.get(part).level.input.focus(); // the button goes away
    await this.state.edit({ do: "as-mixed", ...(part && { player: part }), step: newStep() });
    this.announce(part ? say("band.levels.backed_of", { part: name }) : say("band.levels.backed"));
  }

  async #silence(part, name, isSilent) {
    const silent = new Set(this.silent);
    const named = CHORDS.includes(part) ? [part, ...(isSilent ? [] : CHORDS)] : [part];
    for (const each of named) silent[isSilent ? "add" : "delete"](each);
    await this.state.edit({ do: "field", name: "tacet", value: tacetOf(silent), step: newStep() });
    this.announce(say(`band.levels.${isSilent ? "silent" : "sounds"}`, { part: name }));
  }
}

function setTo({ input, words }, value, text) {
  input.value = value;
  input.setAttribute("aria-valuetext", text);
  words.textContent = text;
}
