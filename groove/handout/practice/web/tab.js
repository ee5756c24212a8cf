// The solo as tablature: the four bars that sound, with the notes that sound lit.

import { barAt, barLine, passAt } from "./road.js";
import { picture, svg } from "./svg.js";
import { chordAt, chordIn, partNotes, SOLO } from "./track.js";
import { say } from "./words.js";

const BARS = 4;
const WIDTH = 176; // of a bar
const LEFT = 20;
const RIGHT = 14;
const TOP = 44; // of the highest string, under bar number, chords and bends
const GAP = 15; // from string to string
const HALVES = ["", "½", "1", "1½", "2"];

export class TabView {
  /** place: the element for the bars. */
  constructor(settings, place) {
    Object.assign(this, { settings, place, drawn: "", notes: [] });
  }

  /** Whether the neck that is drawn is the one that the solo is written for. */
  get isShown() {
    const { settings } = this;
    const { track } = settings;
    return settings.plays(SOLO) && settings.onNeck && String(settings.neck.strings) === String(track.tabStrings);
  }

  /** Shows a key at a tick of the music; isPlaying: whether it sounds there. */
  show(key, tick, isPlaying) {
    this.place.hidden = !this.isShown;
    if (this.place.hidden) return;
    const first = this.#firstBar(Math.max(0, barAt(this.settings.track, tick)));
    const { written, solo } = this.settings;
    const asked = `${key} ${written} ${solo} ${first}`;
    if (this.drawn !== asked) this.#draw(key, first);
    this.drawn = asked;
    for (const { at, length, mark } of this.notes) {
      mark.classList.toggle("lit", isPlaying && at <= tick && tick < at + length);
    }
  }

  /** The first of the four bars that a bar belongs to: they are counted from the top, or from the section. */
  #firstBar(bar) {
    const { track } = this.settings;
    const start = passAt(track, bar)?.first ?? bar - (bar % track.bars);
    return bar - ((bar - start) % BARS);
  }

  #draw(key, first) {
    const { track, solo } = this.settings;
    const end = passAt(track, first)?.last ?? first - (first % track.bars) + track.bars;
    this.notes = []; // {at, length, mark}
    const solos = partNotes(track, key, SOLO, "round", solo);
    const bars = [];
    const last = Math.min(first + BARS, end) - 1;
    for (let bar = first; bar <= last; bar++) {
      const [from, to] = [barLine(track, bar), barLine(track, bar + 1)];
      bars.push(this.#bar(key, bar, solos.filter(({ at }) => from <= at && at < to), bar === last));
    }
    this.place.replaceChildren(...bars);
  }

  #bar(key, bar, notes, isLast) {
    const { track, written } = this.settings;
    const strings = track.tabStrings.length;
    const bottom = TOP + (strings - 1) * GAP;
    const [from, to] = [barLine(track, bar), barLine(track, bar + 1)];
    const x = (tick) => LEFT + ((WIDTH - LEFT - RIGHT) * (tick - from)) / (to - from);
    const number = (bar % track.bars) + 1;
    const parts = [svg("text", { x: 1, y: 14, class: "bar-number" }, String(number))];
    for (let n = 0; n < strings; n++) {
      parts.push(svg("line", { x1: 0, x2: WIDTH, y1: TOP + n * GAP, y2: TOP + n * GAP, class: "string" }));
    }
    for (const at of isLast ? [0, WIDTH] : [0]) parts.push(svg("line", { x1: at, x2: at, y1: TOP, y2: bottom, class: "bar-line" }));
    const start = barLine(track, number - 1);
    track.chords.forEach(([at], n) => {
      const isHere = n === chordAt(track, start) || (at >= start && at < start + to - from);
      if (!isHere) return;
      const { name } = chordIn(track, n, key, written);
      parts.push(svg("text", { x: x(from + Math.max(0, at - start)), y: 14, class: "tab-chord" }, name));
    });
    for (const note of notes) parts.push(this.#note(note, x(note.at)));
    const places = notes.map(({ string, fret }) => say("tab.place", { string, fret })).join(", ");
    const words = say(notes.length ? "tab.bar" : "tab.rest", { bar: number, places });
    return picture({ class: "tab-bar", viewBox: `0 0 ${WIDTH} ${bottom + 10}` }, words, parts);
  }

  #note(note, x) {
    const y = TOP + (note.string - 1) * GAP;
    const wide = note.fret > 9 ? 18 : 12;
    const { bend = 0, released = 0, comes = 0 } = note.gesture ?? {};
    const marks = [
      svg("rect", { x: x - wide / 2, y: y - 7.5, width: wide, height: 15, rx: 3 }),
      svg("text", { x, y, "text-anchor": "middle", "dominant-baseline": "central" }, String(note.fret)),
    ];
    const group = svg("g", { class: "tab-note" }, ...marks);
    const above = { x: x + 1, y: TOP - 12, "text-anchor": "middle", class: "bend" };
    if (bend) group.append(svg("text", above, `↑${HALVES[Math.round(2 * bend)]}${released ? "↓" : ""}`));
    const up = Math.sign(comes) * -5; // of a slide from below
    const left = x - wide / 2;
    if (comes) group.append(svg("line", { x1: left - 8, x2: left - 1, y1: y + up, y2: y - up, class: "slide" }));
    this.notes.push({ at: note.at, length: note.length, mark: group });
    return group;
  }
}
