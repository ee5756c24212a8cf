// The chart on the screen: a button for each bar, in the lines and widths of the written chart. It
// shows the bars that are practised and the bar that sounds. The Tab key stops at one bar; the arrow
// keys, Home and End go to the others.

import { spokenChord } from "./names.js";
import { html } from "./svg.js";
import { chartLines, chordIn, chordsByBar } from "./track.js";

const MANY = 3; // chords of a bar that stand in two lines
const SMALLEST = 13.5; // CSS pixels of the smallest chord; then a line is broken into more rows
const ROWS = [1, 2, 4]; // into which a line may be broken
const BARS_A_LINE = 4;
const calm = matchMedia("(prefers-reduced-motion: reduce)");

export class ChartView {
  /** chosen: called with the bars that a press asks for, as (from, to). */
  constructor(track, place, chosen) {
    Object.assign(this, { track, place, chosen });
    this.byBar = chordsByBar(track);
    this.anchor = null;
    this.sounding = 0;
    this.buttons = this.byBar.map((_, index) => this.#button(index + 1));
    this.#layOut();
    this.#stopAt(0);
    place.addEventListener("keydown", (event) => this.#walk(event));
    place.addEventListener("focusin", (event) => this.#stopAt(this.buttons.indexOf(event.target)));
    new ResizeObserver(() => this.#fit()).observe(place);
  }

  /** The Tab key stops at this one. */
  #stopAt(index) {
    if (index < 0) return;
    this.buttons.forEach((button, n) => (button.tabIndex = n === index ? 0 : -1));
  }

  #walk(event) {
    const here = this.buttons.indexOf(event.target);
    const last = this.buttons.length - 1;
    const to = { ArrowLeft: here - 1, ArrowRight: here + 1, Home: 0, End: last }[event.key] ?? this.#nextLine(here, event.key);
    if (here < 0 || to === null || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    this.buttons[Math.max(0, Math.min(last, to))].focus();
  }

  /** The bar above or below one; null for another key. */
  #nextLine(here, key) {
    const way = { ArrowUp: -1, ArrowDown: 1 }[key];
    if (!way) return null;
    const { left, top } = this.buttons[here].getBoundingClientRect();
    let found = null;
    for (let n = here + way; this.buttons[n]; n += way) {
      const box = this.buttons[n].getBoundingClientRect();
      if (box.top === top) continue;
      if (found !== null && box.top !== this.buttons[found].getBoundingClientRect().top) break;
      if (found === null || Math.abs(box.left - left) < 1) found = n;
    }
    return found ?? here;
  }

  /** Sets chords smaller where they don't fit; where that is too small, lines get more rows. */
  #fit() {
    for (const rows of ROWS) {
      for (const line of this.lines) this.#breakLine(line, rows);
      if (this.#sizes() >= SMALLEST) return;
    }
  }

  /** Sets the bars of a line to so many rows: widths, and a number at the start of each row. */
  #breakLine(line, rows) {
    const most = BARS_A_LINE / rows;
    line.forEach(({ bar, share }, n) => {
      const row = line.slice(n - (n % most), n - (n % most) + most);
      const sum = row.reduce((total, other) => total + other.share, 0);
      const scale = row.length === most ? 1 / sum : Math.min(rows, 1 / sum);
      const button = this.buttons[bar - 1];
      button.style.flexBasis = percent(share * scale);
      button.classList.toggle("first", n % most === 0);
      button.classList.toggle("last", n % most === most - 1 || n === line.length - 1);
    });
  }

  /** Sets the size of the chords in each bar, and returns the smallest. */
  #sizes() {
    const lines = this.buttons.map((button) => button.querySelector(".chords"));
    for (const line of lines) line.style.removeProperty("--fit");
    const shares = lines.map((line) => Math.min(1, (0.98 * line.clientWidth) / line.scrollWidth));
    lines.forEach((line, n) => line.scrollWidth > line.clientWidth && line.style.setProperty("--fit", shares[n]));
    return Math.min(...lines.map((line) => parseFloat(getComputedStyle(line).fontSize)));
  }

  #button(bar) {
    const button = html("button", { type: "button", class: "bar" });
    button.addEventListener("click", () => this.#press(bar));
    return button;
  }

  #layOut() {
    this.lines = chartLines(this.track);
    this.inside = new Map(); // bars inside a line with which a section begins
    for (const line of this.lines) {
      const [{ section }, ...others] = line;
      if (section) this.place.append(html("h3", { class: "section-name" }, section));
      for (const other of others) if (other.section) this.inside.set(other.bar, other.section);
      this.place.append(html("div", { class: "row" }, ...line.map(({ bar }) => this.buttons[bar - 1])));
    }
  }

  /** The first press chooses a bar, the second all bars from there. */
  #press(bar) {
    if (this.anchor === null) {
      this.anchor = bar;
      this.chosen(bar, bar);
    } else {
      this.chosen(Math.min(this.anchor, bar), Math.max(this.anchor, bar));
      this.anchor = null;
    }
  }

  /** Writes the chords of a key as an instrument reads them, unless they stand there already. */
  write(key, written) {
    if (this.written === `${key} ${written}`) return;
    this.written = `${key} ${written}`;
    let before = null;
    this.buttons.forEach((button, index) => {
      const chords = this.byBar[index].map((slot) => ({
        ...slot,
        chord: chordIn(this.track, slot.number, key, written),
      }));
      const section = this.inside.get(index + 1);
      button.replaceChildren(
        html("span", { class: "number" }, String(index + 1)),
        section ? html("span", { class: "inside" }, section) : "",
        html(
          "span",
          { class: chords.length < MANY ? "chords" : "chords many" },
          ...chords.map((slot) => chordText(slot, before === slot.number)),
        ),
      );
      const said = chords.map((slot) => spokenChord(slot.chord.name)).join(", ");
      button.setAttribute("aria-label", `Bar ${index + 1}${section ? `, ${section}` : ""}: ${said}`);
      before = chords.at(-1).number;
    });
    this.#fit();
  }

  /** The names of the chords of a bar, as they are written now. */
  namesIn(bar, key, written) {
    return this.byBar[bar - 1].map((slot) => chordIn(this.track, slot.number, key, written).name);
  }

  /** Marks the bars that are practised. */
  showStretch(from, to) {
    const whole = from === 1 && to === this.track.bars;
    this.buttons.forEach((button, index) => {
      const inside = !whole && index + 1 >= from && index + 1 <= to;
      button.setAttribute("aria-pressed", String(inside));
    });
  }

  /** Marks the bar that sounds, 0 for none, and brings it into view if the student looks at the chart. */
  showBar(bar) {
    if (bar === this.sounding) return;
    this.buttons[this.sounding - 1]?.removeAttribute("aria-current");
    this.sounding = bar;
    const button = this.buttons[bar - 1];
    if (!button) return;
    button.setAttribute("aria-current", "true");
    if (this.#isLookedAt()) button.scrollIntoView({ block: "nearest", behavior: calm.matches ? "auto" : "smooth" });
  }

  /** Whether the chart reaches to the middle of the screen: else something below it is being read. */
  #isLookedAt() {
    const free = document.getElementById("transport").getBoundingClientRect().top;
    return this.place.getBoundingClientRect().bottom > free / 2;
  }
}

/** A share of a width for a style; rounded down, so that a line's bars never need more than all of it. */
export function percent(share) {
  return `${Math.floor(99999.9 * share) / 1000}%`;
}

function chordText({ chord, length }, goesOn) {
  const match = /^([A-G][♯♭]*)(.*)$/.exec(chord.name);
  const text = html("span", { class: goesOn ? "chord goes-on" : "chord" }, match[1]);
  if (match[2]) text.append(html("span", { class: "suffix" }, match[2]));
  text.style.flexGrow = String(length);
  return text;
}
