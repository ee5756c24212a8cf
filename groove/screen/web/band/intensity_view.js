// The intensity, drawn over the choruses, or over the times round of an order: a height for each on five lines.

import { html, svg } from "../../practice/screen/svg.js";
import { say, wordsAt } from "../../practice/music/words.js";
import { newStep } from "../state.js";
import { coursesOf, heightsOf, isPlain, LEVELS, nearest, STEP, textOf } from "./heights.js";

const [LOWEST, , , , HIGHEST] = LEVELS;
const WIDEST = 9; // rem, of a round
const ACROSS = 8; // px that a finger goes before it draws
const EDGE = 10; // per cent of a drawing above its highest line and below its lowest

export class IntensityView {
  #columns = [];
  #rounds = [];
  #heights = []; // as they are drawn; null while the form has the usual course, or one that is none of heights
  #slopes = false;
  #drawn = null; // {step, last, from} while the pointer draws; from: where a finger began that has not gone across yet

  /** context: see parts.js. */
  constructor({ state, announce }) {
    Object.assign(this, { state, announce, place: document.getElementById("intensity") });
    this.note = html("p", { class: "hint", id: "height-note" });
    const names = LEVELS.toReversed().map((level) => html("span", {}, nameOf(level)));
    this.row = html("div", { class: "height-row", role: "group", "aria-labelledby": "intensity-title", "aria-describedby": "height-note" });
    this.told = html("p", { id: "height-told", "aria-hidden": "true" });
    this.slopes = html("button", { type: "button", id: "height-slopes", "aria-pressed": "false" }, say("band.heights.slopes"));
    this.usual = html("button", { type: "button", id: "height-usual" }, say("band.heights.usual"));
    this.place.append(
      this.note,
      html("div", { class: "heights" }, html("div", { class: "height-names", "aria-hidden": "true" }, ...names), this.row),
      this.told,
      html("div", { class: "buttons" }, this.slopes, this.usual),
    );
    this.slopes.addEventListener("click", () => this.#turnSlopes());
    this.usual.addEventListener("click", () => this.#beUsual());
    this.row.addEventListener("pointerdown", (event) => this.#begin(event));
    this.row.addEventListener("pointermove", (event) => this.#drawn && this.#move(event));
    this.row.addEventListener("pointerup", (event) => this.#end(event));
    this.row.addEventListener("pointercancel", () => (this.#drawn = null)); // a finger scrolls the page
  }

  /** Shows the course of a state. */
  show({ facts, fields }) {
    if (!facts || this.#drawn) return;
    this.#rounds = facts.rounds;
    const text = fields.intensity;
    const heights = isPlain(text, facts.rounds.length) ? heightsOf(facts.rounds) : null;
    this.#heights = heights;
    if (!heights || new Set(heights).size > 1) this.#slopes = heights !== null && text.includes("-");
    this.isUsual = text === undefined;
    this.note.textContent = say(`band.heights.${this.isUsual ? "none" : heights ? "hint" : "other"}`, { text });
    this.#make();
    this.#paint();
  }

  #make() {
    while (this.#columns.length < this.#rounds.length) this.#add();
    for (const column of this.#columns.splice(this.#rounds.length)) column.element.remove();
    this.row.style.maxWidth = `${WIDEST * this.#rounds.length}rem`;
  }

  #add() {
    const line = svg("line", { "vector-effect": "non-scaling-stroke" });
    const drawing = svg("svg", { viewBox: "0 0 100 100", preserveAspectRatio: "none", "aria-hidden": "true" }, line);
    const slider = html("div", { class: "height", role: "slider", tabindex: "0", "aria-valuemin": LOWEST, "aria-valuemax": HIGHEST }, drawing);
    const caption = html("span", { class: "height-caption", "aria-hidden": "true" });
    const column = { slider, line, caption, element: html("div", { class: "height-column" }, slider, caption) };
    slider.addEventListener("keydown", (event) => this.#press(event, this.#columns.indexOf(column)));
    slider.addEventListener("focus", () => {
      column.step = newStep();
      this.#tell(this.#columns.indexOf(column));
    });
    slider.addEventListener("pointerenter", () => this.#tell(this.#columns.indexOf(column)));
    this.#columns.push(column);
    this.row.append(column.element);
  }

  /** Draws all heights. */
  #paint() {
    const courses = this.#heights ? coursesOf(this.#heights, this.#slopes) : this.#rounds;
    this.#rounds.forEach((round, n) => {
      const { slider, line, caption, element } = this.#columns[n];
      const { from, to } = round.own ? round : courses[n];
      const attributes = { x1: 0, x2: 100, y1: heightAt(from), y2: heightAt(to) };
      for (const [name, value] of Object.entries(attributes)) line.setAttribute(name, value);
      element.classList.toggle("own", round.own);
      element.classList.toggle("as-usual", !this.#heights);
      caption.textContent = captionOf(round);
      slider.setAttribute("aria-label", labelOf(round));
      slider.setAttribute("aria-valuenow", String(this.#level(n)));
      slider.setAttribute("aria-valuetext", this.#words(n));
      slider.setAttribute("aria-disabled", String(round.own));
    });
    this.slopes.setAttribute("aria-pressed", String(this.#slopes));
    this.slopes.setAttribute("aria-disabled", String(this.#rounds.length < 2));
    this.usual.setAttribute("aria-disabled", String(this.isUsual));
  }

  #level(n) {
    const { own, from, to } = this.#rounds[n];
    return own || !this.#heights ? nearest((from + to) / 2) : this.#heights[n];
  }

  #words(n) {
    const name = nameOf(this.#level(n));
    if (this.#rounds[n].own) return say("band.heights.own", { name, line: this.#rounds[n].line + 1 });
    return this.#heights ? name : say("band.heights.about", { name });
  }

  #tell(n) {
    this.told.textContent = say("band.heights.told", { round: labelOf(this.#rounds[n]), name: this.#words(n) });
  }

  #press(event, n) {
    const ways = { ArrowUp: 1, ArrowRight: 1, ArrowDown: -1, ArrowLeft: -1, PageUp: 2, PageDown: -2 };
    const ends = { Home: LOWEST, End: HIGHEST };
    if (event.ctrlKey || event.altKey || event.metaKey || !(event.key in ways || event.key in ends)) return;
    event.preventDefault();
    this.#set({ [n]: ends[event.key] ?? this.#level(n) + STEP * ways[event.key] }, this.#columns[n].step);
    this.#tell(n);
  }

  #begin(event) {
    if (event.button !== 0 || !event.target.closest(".height")) return;
    this.row.setPointerCapture(event.pointerId);
    this.#drawn = { step: newStep(), last: null, from: event.pointerType === "touch" ? event : null };
    if (!this.#drawn.from) this.#draw(event);
  }

  /** A finger draws once it goes across; up and down it scrolls the page. */
  #move(event) {
    const { from } = this.#drawn;
    if (from) {
      const [across, along] = [Math.abs(event.clientX - from.clientX), Math.abs(event.clientY - from.clientY)];
      if (across < ACROSS || across < along) return;
      this.#drawn.from = null;
      this.#draw(from);
    }
    this.#draw(event);
  }

  /** A finger that only pressed sets one height. */
  #end(event) {
    if (this.#drawn?.from && Math.abs(event.clientY - this.#drawn.from.clientY) < ACROSS) this.#draw(event);
    this.#drawn = null;
  }

  /** Sets the heights from the place of the pointer before to where it is now. */
  #draw({ clientX, clientY }) {
    const n = this.#columns.findIndex(({ slider }) => {
      const { left, right, top, bottom } = slider.getBoundingClientRect();
      return left <= clientX && clientX < right && top - 24 <= clientY && clientY < bottom + 24;
    });
    if (n < 0) return;
    const { top, height } = this.#columns[n].slider.getBoundingClientRect();
    const share = (100 * (clientY - top)) / height;
    const level = HIGHEST - ((HIGHEST - LOWEST) * (share - EDGE)) / (100 - 2 * EDGE);
    const { last, step } = this.#drawn;
    const from = last ?? { n, level };
    const set = { [n]: level };
    const way = Math.sign(n - from.n);
    for (let k = from.n + way; way && k !== n; k += way) set[k] = from.level + ((level - from.level) * (k - from.n)) / (n - from.n);
    this.#drawn.last = { n, level };
    this.#set(set, step);
    this.#tell(n);
  }

  /** Sets some heights by their numbers. */
  #set(levels, step) {
    if (Object.keys(levels).every((n) => this.#rounds[n].own)) return;
    const heights = this.#rounds.map((_, n) => this.#level(n));
    for (const [n, level] of Object.entries(levels)) if (!this.#rounds[n].own) heights[n] = nearest(level);
    if (this.#heights && heights.join() === this.#heights.join()) return;
    this.#heights = heights;
    this.isUsual = false;
    this.#paint();
    this.state.type({ do: "field", name: "intensity", value: textOf(heights, this.#slopes), step });
  }

  #turnSlopes() {
    if (this.#rounds.length < 2) return;
    this.#slopes = !this.#slopes;
    const heights = this.#rounds.map((_, n) => this.#level(n));
    this.#heights = heights;
    this.#paint();
    this.state.edit({ do: "field", name: "intensity", value: textOf(heights, this.#slopes), step: newStep() });
    this.announce(say(`band.heights.${this.#slopes ? "slopes_on" : "slopes_off"}`));
  }

  async #beUsual() {
    if (this.isUsual) return;
    await this.state.edit({ do: "field", name: "intensity", value: null, step: newStep() });
    this.announce(say("band.heights.usual_done"));
  }
}

function heightAt(level) {
  return EDGE + ((100 - 2 * EDGE) * (HIGHEST - level)) / (HIGHEST - LOWEST);
}

function nameOf(level) {
  return wordsAt("band.heights.names")[LEVELS.indexOf(nearest(level))];
}

function captionOf({ name, time, times, line }) {
  if (!name) return String(time + 1);
  return times > 1 ? say("band.heights.time", { name, time: time + 1 }) : name || String(line + 1);
}

function labelOf(round) {
  if (!round.name) return say("band.heights.chorus", { number: round.time + 1 });
  return say(round.times > 1 ? "band.heights.line_time" : "band.heights.line", { ...round, line: round.line + 1, time: round.time + 1 });
}
