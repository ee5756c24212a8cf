// The chart on the screen: a button for each bar, in the lines and widths of the written chart; on a
// road those of one time round a line. It shows the bars that are practised and the bar that sounds. The Tab key stops at one bar; the arrow
// keys, Home and End go to the others.

import { spokenChord } from "../music/names.js";
import { hasSeveralMeters, homeIn, keyOfPass, passAt, placeInWords, roadOf, roundAt, settingOf, tempoInWords } from "../music/road.js";
import { html } from "./svg.js";
import { chartLines, chordIn, chordsByBar, tonicIn } from "../music/track.js";
import { fitChart, fitLines } from "./chart_fit.js";
import { Turning } from "./turning.js";
import { say } from "../music/words.js";

const MANY = 3; // chords of a bar that stand in two lines
const calm = matchMedia("(prefers-reduced-motion: reduce)");

export class ChartView {
  /** chosen: called with the bars that a press asks for, as (from, to). */
  constructor(track, place, chosen) {
    Object.assign(this, { track, place, chosen });
    this.byBar = chordsByBar(track);
    this.anchor = null;
    this.sounding = 0;
    this.awaited = 0; // the first bar that will sound, while none does
    this.layout = "page";
    this.coming = null;
    this.turning = new Turning(place, calm);
    this.showRound(roadOf(track)?.rounds[0] ?? null);
    place.addEventListener("keydown", (event) => this.#walk(event));
    place.addEventListener("focusin", (event) => this.#stopAt(this.buttons.indexOf(event.target)));
    new ResizeObserver(() => this.#fit()).observe(place);
  }

  /** Shows the bars of a time round a line; null for those of a form that goes round. */
  showRound(round) {
    if (this.round === round) return;
    this.round = round;
    this.written = null;
    this.first = round?.first ?? 0;
    const bars = this.byBar.slice(this.first, round?.last);
    this.buttons = bars.map((_, index) => this.#button(this.first + index + 1));
    this.place.replaceChildren();
    this.#layOut();
    this.#stopAt(0);
  }

  /** The last bar that is shown. */
  get last() {
    return this.first + this.buttons.length;
  }

  /** The button of a bar; undefined if it isn't shown. */
  #buttonOf(bar) {
    return this.buttons[bar - 1 - this.first];
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

  /** Lays the chart out for a layout of the page: as a part of it, or in a place that it is turned in. */
  showIn(layout) {
    this.layout = layout;
    this.turning.isOn = layout !== "page";
    this.#fit();
  }

  #fit() {
    if (!this.written) return;
    this.place.querySelectorAll(".coming").forEach((element) => element.remove());
    const { place, layout, coming } = this;
    const lines = this.lines.map((line) => this.#withButtons(line));
    const isElsewhere = coming && roundAt(this.track, coming.bar - 1) !== this.round;
    if (layout !== "page" && isElsewhere) {
      fitChart(place, [...lines, this.#addComing()], layout);
    } else {
      fitChart(place, lines, layout);
      if (layout !== "page" && coming && place.scrollHeight > place.clientHeight) fitLines(place, [this.#addComing()], layout);
    }
    this.turning.show(this.#buttonOf(this.sounding || this.awaited));
  }

  /** Shows under a chart that is turned what comes after its last bar: the bar and its key; null for the end. */
  showComing(coming) {
    if (coming?.bar === this.coming?.bar && coming?.key === this.coming?.key) return;
    this.coming = coming;
    this.#fit();
  }

  /** Adds the line of what comes, which only repeats for the eye what stands elsewhere in the chart or will. */
  #addComing() {
    const { track } = this;
    const { bar, key } = this.coming;
    const round = roundAt(track, bar - 1);
    const line = chartLines(track, round?.passes).find((bars) => bars.some((each) => each.bar === bar));
    let before = null;
    const bars = line.map((each) => {
      const slots = this.#slots(each.bar, key);
      const words = this.#wordsAt(each.bar, round?.first);
      const button = html("div", { class: "bar" }, ...barParts(each.bar, "", words, slots, before));
      before = slots.at(-1).number;
      return { button, share: each.share };
    });
    const name = track.road ? placeInWords(track, bar - 1) : line[0].section;
    if (name) this.place.append(html("p", { class: "section-name coming", "aria-hidden": "true" }, name));
    this.place.append(html("div", { class: "row coming", "aria-hidden": "true" }, ...bars.map(({ button }) => button)));
    return bars;
  }

  #withButtons(line) {
    return line.map(({ bar, share }) => ({ button: this.#buttonOf(bar), share }));
  }

  #button(bar) {
    const button = html("button", { type: "button", class: "bar" });
    button.addEventListener("click", () => this.#press(bar));
    return button;
  }

  #layOut() {
    this.lines = chartLines(this.track, this.round?.passes);
    this.inside = new Map(); // bars inside a line with which a section begins
    this.heads = new Map(); // headings of the sections of a road, by their first bars
    for (const line of this.lines) {
      const [{ section, bar }, ...others] = line;
      if (section) this.place.append(this.#head(section, bar));
      for (const other of others) if (other.section) this.inside.set(other.bar, other.section);
      this.place.append(html("div", { class: "row" }, ...line.map(({ bar }) => this.#buttonOf(bar))));
    }
  }

  #head(section, bar) {
    const head = html("h3", { class: "section-name" }, section);
    this.heads.set(bar, head);
    return head;
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
  write(key, written, tempo) {
    const asked = `${key} ${written} ${this.track.road ? tempo : ""}`;
    if (this.written === asked) return;
    this.written = asked;
    Object.assign(this, { reader: written, tempo });
    for (const [bar, head] of this.heads) head.replaceChildren(...this.#headWords(bar, key, written));
    let before = null;
    this.buttons.forEach((button, index) => {
      const bar = this.first + index + 1;
      const slots = this.#slots(bar, key);
      const section = this.inside.get(bar);
      const words = this.#wordsAt(bar);
      button.replaceChildren(...barParts(bar, section, words, slots, before));
      const chords = slots.map(({ chord }) => spokenChord(chord.name)).join(", ");
      const more = [section, words].filter(Boolean).join(", ");
      button.setAttribute("aria-label", say(more ? "chart.bar_with" : "chart.bar", { bar, words: more, chords }));
      before = slots.at(-1).number;
    });
    this.#fit();
  }

  /** The chords of a bar in a key, as the reader has them. */
  #slots(bar, key) {
    return this.byBar[bar - 1].map((slot) => ({ ...slot, chord: chordIn(this.track, slot.number, key, this.reader) }));
  }

  /** The heading of a section of a road: its name, its key where that is another than before, its lyrics. */
  #headWords(bar, key, written) {
    const { track } = this;
    const pass = passAt(track, bar - 1);
    if (!pass) return [this.heads.get(bar).textContent];
    const { passes } = this.round;
    const before = passes[passes.indexOf(pass) - 1] ?? { key: 0, minor: track.minor };
    const isNew = pass.key !== before.key || pass.minor !== before.minor;
    const tonic = tonicIn(track, homeIn(track, key, bar - 1), written);
    return [
      isNew ? say("chart.section_in", { section: pass.name, key: keyOfPass(track, pass, tonic) }) : pass.name,
      pass.lyrics ? html("span", { class: "lyrics" }, pass.lyrics) : "",
    ];
  }

  /** The words over a bar of a road: metre and tempo where they change, cues, who plays; top: the chart's first bar. */
  #wordsAt(bar, top = this.first) {
    const { track, tempo } = this;
    if (!track.road) return "";
    const meter = (place) => settingOf(track, place).meter.join("/");
    const speed = (place) => tempoInWords(track, place, tempo);
    const [here, first] = [bar - 1, bar - 1 === top];
    const words = [...(track.road.words[here] ?? [])];
    if (speed(here) !== speed(first ? 0 : here - 1)) words.unshift(speed(here));
    if (first ? hasSeveralMeters(track) : meter(here) !== meter(here - 1)) words.unshift(meter(here));
    return words.join(" · ");
  }

  /** The names of the chords of a bar, as they are written now. */
  namesIn(bar, key, written) {
    return this.byBar[bar - 1].map((slot) => chordIn(this.track, slot.number, key, written).name);
  }

  /** Marks the bars that are practised, unless they are all that follow. */
  showStretch({ from, to, wholeForm, loops }) {
    this.buttons.forEach((button, index) => {
      const bar = this.first + index + 1;
      const inside = loops && !wholeForm && bar >= from && bar <= to;
      button.setAttribute("aria-pressed", String(inside));
    });
  }

  /**
   * Marks the bar that sounds, 0 for none, and brings it into view if the student looks at the chart; a chart that is
   * turned by itself shows the awaited bar while none sounds.
   */
  showBar(bar, awaited = 0) {
    if (bar === this.sounding && awaited === this.awaited) return;
    this.#buttonOf(this.sounding)?.removeAttribute("aria-current");
    Object.assign(this, { sounding: bar, awaited });
    if (!bar) this.turning.show(this.#buttonOf(awaited));
    const button = this.#buttonOf(bar);
    if (!button) return;
    button.setAttribute("aria-current", "true");
    if (this.turning.isOn) this.turning.show(button);
    else if (this.#isLookedAt()) button.scrollIntoView({ block: "nearest", behavior: calm.matches ? "auto" : "smooth" });
  }

  /** Whether the chart reaches to the middle of the screen: else something below it is being read. */
  #isLookedAt() {
    const free = document.getElementById("transport").getBoundingClientRect().top;
    return this.place.getBoundingClientRect().bottom > free / 2;
  }
}

/** What stands in a bar; before: the number of the chord that goes on into it. */
function barParts(bar, section, words, slots, before) {
  let last = before;
  const chords = slots.map((slot) => {
    const goesOn = last === slot.number;
    last = slot.number;
    return chordText(slot, goesOn);
  });
  return [
    html("span", { class: "number" }, String(bar)),
    section ? html("span", { class: "inside" }, section) : "",
    words ? html("span", { class: "told" }, words) : "",
    html("span", { class: slots.length < MANY ? "chords" : "chords many" }, ...chords),
  ];
}

function chordText({ chord, length }, goesOn) {
  const [root, rest] = chord.parts;
  const text = html("span", { class: goesOn ? "chord goes-on" : "chord" }, root);
  if (rest) text.append(html("span", { class: "suffix" }, rest));
  text.style.flexGrow = String(length);
  return text;
}
