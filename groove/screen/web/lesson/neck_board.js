// A neck to press: a button for each fret of each string. What doesn't fit beside each other is reached by two buttons and the arrow keys.

import { DOTTED } from "../../practice/screen/neck.js";
import { html } from "../../practice/screen/svg.js";
import { spoken } from "../../practice/music/names.js";
import { say } from "../../practice/music/words.js";

const LEAST = 46; // px of a fret
const FEWEST = 5; // frets shown
const MOST = 16;
const TWICE = [12, 24]; // frets with two dots
const DOTS = new Set([...DOTTED, 17, 19, 21, ...TWICE]);

export class NeckBoard {
  #first = 1; // the lowest fret shown beside the open strings
  #columns = MOST;
  #at = { string: 1, fret: 0 }; // what Tab leads to
  #drawn = "";

  /** press: called with string and fret. */
  constructor(press) {
    this.press = press;
    this.board = html("div", { class: "neck-board", role: "group" });
    this.shown = html("span", { class: "hint", role: "status" });
    this.moves = html("div", { class: "neck-moves buttons" }, this.#move("lower", -1), this.#move("higher", 1), this.shown);
    this.element = html("div", { class: "neck-frame" }, this.board, this.moves);
    this.board.addEventListener("keydown", (event) => this.#key(event));
    this.board.addEventListener("click", (event) => this.#press(event.target.closest("button")));
    new ResizeObserver(() => this.#fit()).observe(this.element);
  }

  /**
   * Shows a neck {strings, names, frets, title}. names: the note of each pitch class. places: those of the chosen
   * note; others: those of all notes of the phrase.
   */
  show(neck, names, { places, others }) {
    Object.assign(this, { neck, names, places, others });
    this.#fit();
  }

  /** Brings a fret into sight. */
  reveal(fret) {
    const last = this.#first + this.#columns - 2;
    if (fret && (fret < this.#first || fret > last)) this.#first = Math.max(1, Math.min(fret - 1, this.neck.frets - this.#columns + 2));
    this.#draw();
  }

  #fit() {
    const width = this.element.clientWidth;
    if (!this.neck || !width) return;
    this.#columns = Math.max(FEWEST, Math.min(MOST, this.neck.frets + 1, Math.floor((width - 34) / LEAST)));
    this.#first = Math.max(1, Math.min(this.#first, this.neck.frets - this.#columns + 2));
    this.#draw();
  }

  /** The frets that are shown: the open strings, then those next to each other. */
  get #frets() {
    return [0, ...Array.from({ length: this.#columns - 1 }, (_, n) => this.#first + n)];
  }

  #draw() {
    const { strings, names, title } = this.neck;
    const frets = this.#frets;
    if (!frets.includes(this.#at.fret)) this.#at.fret = frets[1];
    this.#at.string = Math.min(this.#at.string, strings.length);
    const layout = JSON.stringify([strings, names, frets, this.names]);
    if (layout !== this.#drawn) this.#lay(frets);
    this.#drawn = layout;
    this.board.setAttribute("aria-label", say("lesson.notes.neck.label", { instrument: title }));
    for (const button of this.board.querySelectorAll("button")) {
      const [string, fret] = [Number(button.dataset.string), Number(button.dataset.fret)];
      const isHere = (place) => place.string === string && place.fret === fret;
      const isOn = this.places.some(isHere);
      button.classList.toggle("played", !isOn && this.others.some(isHere));
      button.setAttribute("aria-pressed", String(isOn));
      button.tabIndex = string === this.#at.string && fret === this.#at.fret ? 0 : -1;
    }
  }

  #lay(frets) {
    const hadFocus = this.board.contains(document.activeElement);
    const { strings, names } = this.neck;
    this.board.style.setProperty("--frets", String(frets.length - 1));
    const rows = [];
    for (let string = 1; string <= strings.length; string++) {
      rows.push(html("span", { class: "string-name", "aria-hidden": "true" }, names.at(-string)));
      rows.push(...frets.map((fret) => this.#place(string, fret)));
    }
    rows.push(html("span"));
    rows.push(...frets.map((fret) => html("span", { class: DOTS.has(fret) ? "fret-number marked" : "fret-number", "aria-hidden": "true" }, String(fret))));
    this.board.replaceChildren(...dots(frets, strings.length), ...rows);
    if (hadFocus) this.#button(this.#at)?.focus();
    const all = frets.length > this.neck.frets;
    this.moves.hidden = all;
    const [, first] = frets;
    this.shown.textContent = say("lesson.notes.neck.shown", { from: first, to: frets.at(-1) });
    const [lower, higher] = this.moves.querySelectorAll("button");
    lower.setAttribute("aria-disabled", String(first === 1));
    higher.setAttribute("aria-disabled", String(frets.at(-1) >= this.neck.frets));
  }

  #place(string, fret) {
    const name = this.names[(this.neck.strings.at(-string) + fret) % 12];
    const label = say(`lesson.notes.${fret ? "place" : "open"}`, { note: spoken(name), string, fret });
    const kind = this.#first > 1 ? "open apart" : "open"; // frets lie between
    return html("button", { type: "button", class: fret ? null : kind, "data-string": string, "data-fret": fret, "aria-label": label }, html("span", {}, name));
  }

  #button({ string, fret }) {
    return this.board.querySelector(`[data-string="${string}"][data-fret="${fret}"]`);
  }

  #press(button) {
    if (!button) return;
    this.#at = { string: Number(button.dataset.string), fret: Number(button.dataset.fret) };
    this.press(this.#at.string, this.#at.fret);
  }

  #key(event) {
    const ways = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] };
    const way = ways[event.key];
    if (!way || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const { strings, frets } = this.neck;
    const string = Math.max(1, Math.min(strings.length, this.#at.string + way[0]));
    const here = this.#at.fret;
    const isLow = way[1] < 0 && here === this.#first && this.#first === 1;
    const fret = isLow ? 0 : here === 0 && way[1] > 0 ? 1 : Math.max(0, Math.min(frets, here + way[1]));
    this.#at = { string, fret };
    this.reveal(fret);
    this.#button(this.#at)?.focus();
  }

  #move(name, way) {
    const button = html("button", { type: "button" }, say(`lesson.notes.neck.${name}`));
    button.addEventListener("click", () => {
      if (button.getAttribute("aria-disabled") === "true") return;
      const step = Math.max(1, this.#columns - 2);
      this.#first = Math.max(1, Math.min(this.#first + way * step, this.neck.frets - this.#columns + 2));
      this.#draw();
    });
    return button;
  }
}

/** The dots between the strings, one at a fret or two, as they lie in a neck. */
function dots(frets, strings) {
  const half = Math.ceil(strings / 2) + 1;
  return frets.flatMap((fret, place) => {
    if (!DOTS.has(fret)) return [];
    const rows = TWICE.includes(fret) ? [[1, half], [half, strings + 1]] : [[1, strings + 1]];
    return rows.map(([from, to]) => {
      const dot = html("span", { class: "fret-dot", "aria-hidden": "true" });
      dot.style.gridColumn = `${place + 2} / ${place + 3}`;
      dot.style.gridRow = `${from} / ${to}`;
      return dot;
    });
  });
}
