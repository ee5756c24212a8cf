// The chart on the screen: a button a bar, the stretch that is practised, the bar that sounds.

import { html } from "./svg.js";
import { chordIn, chordsByBar } from "./track.js";

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
  }

  #button(bar) {
    const button = html("button", { type: "button", class: "bar" });
    button.addEventListener("click", () => this.#press(bar));
    return button;
  }

  /** Rows of four bars; a section begins a row. */
  #layOut() {
    const names = new Map(this.track.sections.map(([name, bar]) => [bar, name]));
    let row = null;
    this.buttons.forEach((button, index) => {
      const name = names.get(index + 1);
      if (name) this.place.append(html("h3", { class: "section-name" }, name));
      if (!row || name || row.children.length === 4) {
        row = html("div", { class: "row" });
        this.place.append(row);
      }
      row.append(button);
    });
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
        html("span", { class: "unseen" }, "Bar "),
        html("span", { class: "number" }, String(index + 1)),
        html("span", { class: "chords" }, ...chords.map((slot) => chordText(slot, before === slot.number))),
      );
      before = chords.at(-1).number;
    });
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
  return bottom > 0 && top < innerHeight - document.getElementById("transport").offsetHeight;
}

function chordText({ chord, length }, goesOn) {
  const match = /^([A-G][♯♭]*)(.*)$/.exec(chord.name);
  const text = html("span", { class: goesOn ? "chord goes-on" : "chord" }, match[1]);
  if (match[2]) text.append(html("span", { class: "suffix" }, match[2]));
  text.style.flexGrow = String(length);
  return text;
}
