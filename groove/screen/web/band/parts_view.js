// The players while one listens: how loud, how far to the left or right; and who is silent in the form itself.

import { html } from "../../practice/screen/svg.js";
import { say, wordFor } from "../../practice/music/words.js";
import { newStep } from "../state.js";
import { silentIn, tacetOf } from "./tacet.js";

const PERCENT = 100;
const MOST = 140; // per cent of a player's place in the mix
const CHORDS = ["comping", "guitar", "keys"]; // whoever plays chords

export class PartsView {
  #rows = new Map();

  /** context: see parts.js. */
  constructor({ state, listen, announce }) {
    Object.assign(this, { state, listening: listen.listening, announce });
    this.rows = html("div", { class: "levels" });
    this.reset = html("button", { type: "button", id: "levels-back" }, say("band.levels.back"));
    this.bars = html("p", { class: "hint", hidden: true }, say("band.levels.by_bars"));
    const hint = html("p", { class: "hint" }, say("band.levels.hint"));
    document.getElementById("band-parts").append(hint, this.rows, this.bars, this.reset);
    this.reset.addEventListener("click", () => this.#reset());
    listen.onMusic(() => this.show(state.now));
  }

  /** Shows the players of a state. */
  show({ fields }) {
    const heard = this.listening.stage?.settings.parts.filter((part) => part !== "click") ?? [];
    this.silent = silentIn(fields.tacet);
    const silent = [...(this.silent ?? [])].filter((part) => !CHORDS.includes(part) || !heard.some((each) => CHORDS.includes(each)));
    const parts = [...new Set([...heard, ...silent])];
    if (parts.join() !== [...this.#rows.keys()].join()) this.#make(parts);
    for (const [part, row] of this.#rows) this.#show(part, row, heard.includes(part));
    this.bars.hidden = this.silent !== null;
  }

  #make(parts) {
    const focused = document.activeElement?.id;
    this.#rows = new Map(parts.map((part) => [part, this.#row(part)]));
    this.rows.replaceChildren(...[...this.#rows.values()].map(({ element }) => element));
    if (focused && !document.activeElement?.id) document.getElementById(focused)?.focus();
  }

  #row(part) {
    const name = wordFor("listen.parts", part);
    const slider = (kind, least, most) => {
      const id = `${kind}-${part}`;
      const input = html("input", { type: "range", id, min: least, max: most, step: "5", "aria-label": say(`band.levels.${kind}_of`, { part: name }) });
      input.addEventListener("input", () => this.#set(part, kind, input.valueAsNumber));
      return { input, element: html("div", { class: "level-field" }, html("span", { "aria-hidden": "true" }, say(`band.levels.${kind}`)), input) };
    };
    const level = slider("level", 0, MOST);
    const place = slider("place", -PERCENT, PERCENT);
    const plays = html("input", { type: "checkbox", id: `plays-${part}` });
    plays.addEventListener("change", () => this.#silence(part, name, !plays.checked));
    const check = html("label", { class: "check" }, plays, ` ${say("band.levels.plays")}`);
    const title = html("h4", { id: `player-${part}` }, name);
    const element = html("div", { class: "level-row", role: "group", "aria-labelledby": `player-${part}` }, title, level.element, place.element, check);
    return { element, level: level.input, place: place.input, plays };
  }

  #show(part, { level, place, plays }, isHeard) {
    const { settings, places } = this.listening.stage ?? {};
    level.disabled = place.disabled = !isHeard;
    if (isHeard) {
      level.value = Math.round(PERCENT * settings.volume[part]);
      place.value = Math.round(PERCENT * (places.get(part) ?? 0));
      level.setAttribute("aria-valuetext", say("band.levels.percent", { percent: level.value }));
      place.setAttribute("aria-valuetext", placeInWords(Number(place.value)));
    }
    plays.checked = !this.silent?.has(part);
    plays.disabled = this.silent === null;
  }

  #set(part, kind, value) {
    if (kind === "level") this.listening.setVolume(part, value / PERCENT);
    else this.listening.setPlace(part, value / PERCENT);
    this.#show(part, this.#rows.get(part), true);
  }

  #reset() {
    for (const part of this.listening.stage?.settings.parts ?? []) {
      this.listening.setVolume(part, 1);
      this.listening.setPlace(part, 0);
    }
    this.show(this.state.now);
    this.announce(say("band.levels.backed"));
  }

  async #silence(part, name, isSilent) {
    const silent = new Set(this.silent);
    const named = CHORDS.includes(part) ? [part, ...(isSilent ? [] : CHORDS)] : [part];
    for (const each of named) silent[isSilent ? "add" : "delete"](each);
    await this.state.edit({ do: "field", name: "tacet", value: tacetOf(silent), step: newStep() });
    this.announce(say(`band.levels.${isSilent ? "silent" : "sounds"}`, { part: name }));
  }
}

function placeInWords(value) {
  if (!value) return say("band.levels.as_mixed");
  return say(`band.levels.${value < 0 ? "left" : "right"}`, { percent: Math.abs(value) });
}
