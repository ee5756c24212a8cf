// The chart on the screen: a button a bar, the stretch that is practised, the bar that sounds.
// The Tab key stops at one bar; the arrow keys, Home and End go to the others.

import { spokenChord } from "./names.js";
import { html } from "./svg.js";
import { chartLines, chordIn, chordsByBar } from "./track.js";

const MANY = 3; // chords of a bar that stand in two lines
const SMALLEST = 0.62; // of its usual size, that a chord is set; then a row has fewer bars
const calm = matchMedia("(prefers-reduced-motion: reduce)");

export class ChartView {
  /** chosen: is told which bars a press asks for, as (from, to). */
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

  /** Sets chords smaller where they don't fit; where that is too small, a row has half as many bars. */
  #fit() {
    this.place.classList.remove("wide");
    if (this.#sizes() < SMALLEST) {
      this.place.classList.add("wide");
      this.#sizes();
    }
  }

  /** Sets the size of the chords in each bar, and hands back the least. */
  #sizes() {
    const lines = this.buttons.map((button) => button.querySelector(".chords"));
    for (const line of lines) line.style.removeProperty("--fit");
    const shares = lines.map((line) => Math.min(1, line.clientWidth / line.scrollWidth));
    lines.forEach((line, n) => shares[n] < 1 && line.style.setProperty("--fit", 0.98 * shares[n]));
    return Math.min(...shares);
  }

  #button(bar) {
    const button = html("button", { type: "button", class: "bar" });
    button.addEventListener("click", () => this.#press(bar));
    return button;
  }

  #layOut() {
    for (const { name, bars } of chartLines(this.track)) {
      if (name) this.place.append(html("h3", { class: "section-name" }, name));
      this.place.append(html("div", { class: "row" }, ...bars.map((bar) => this.buttons[bar - 1])));
    }
  }

  /** The first press chooses a bar, the second the stretch from there. */
  #press(bar) {
    if (this.anchor === null) {
      this.anchor = bar;
      this.chosen(bar, bar);
    } else {
      this.chosen(Math.min(this.anchor, bar), Math.max(this.anchor, bar));
      this.anchor = null;
    }
  }

  /** Writes the chords of a key as an instrument reads them. */
  write(key, written) {
    let before = null;
    this.buttons.forEach((button, index) => {
      const chords = this.byBar[index].map((slot) => ({
        ...slot,
        chord: chordIn(this.track, slot.number, key, written),
      }));
      button.replaceChildren(
        html("span", { class: "number" }, String(index + 1)),
        html(
          "span",
          { class: chords.length < MANY ? "chords" : "chords many" },
          ...chords.map((slot) => chordText(slot, before === slot.number)),
        ),
      );
      const said = chords.map((slot) => spokenChord(slot.chord.name)).join(", ");
      button.setAttribute("aria-label", `Bar ${index + 1}: ${said}`);
      before = chords.at(-1).number;
    });
    this.#fit();
  }

  /** The names of the chords of a bar, as they are written now. */
  namesIn(bar, key, written) {
    return this.byBar[bar - 1].map((slot) => chordIn(this.track, slot.number, key, written).name);
  }

  /** Shows which bars are practised. */
  showStretch(from, to) {
    const whole = from === 1 && to === this.track.bars;
    this.buttons.forEach((button, index) => {
      const inside = !whole && index + 1 >= from && index + 1 <= to;
      button.setAttribute("aria-pressed", String(inside));
    });
  }

  /**
   * Marks the bar that sounds, 0 for none, and brings it into view: not when the one before was
   * out of view, for then the student is looking at something else on the page.
   */
  showBar(bar) {
    if (bar === this.sounding) return;
    const before = this.buttons[this.sounding - 1];
    const followed = !before || isInView(before);
    before?.removeAttribute("aria-current");
    this.sounding = bar;
    const button = this.buttons[bar - 1];
    if (!button) return;
    button.setAttribute("aria-current", "true");
    if (followed) button.scrollIntoView({ block: "nearest", behavior: calm.matches ? "auto" : "smooth" });
  }
}

function isInView(element) {
  const { top, bottom } = element.getBoundingClientRect();
  const transport = document.getElementById("transport");
  const covered = getComputedStyle(transport).position === "fixed" ? transport.offsetHeight : 0;
  return bottom > 0 && top < innerHeight - covered;
}

function chordText({ chord, length }, goesOn) {
  const match = /^([A-G][♯♭]*)(.*)$/.exec(chord.name);
  const text = html("span", { class: goesOn ? "chord goes-on" : "chord" }, match[1]);
  if (match[2]) text.append(html("span", { class: "suffix" }, match[2]));
  text.style.flexGrow = String(length);
  return text;
}
