// The solo as tablature: the four bars that sound, with the notes that sound lit.

import { barAt, barLine, passAt } from "../music/road.js";
import { picture, svg } from "./svg.js";
import { chordAt, chordIn, JOINS, partNotes, SLIDE, SOLO } from "../music/track.js";
import { say, wordFor } from "../music/words.js";

const BARS = 4;
const WIDTH = 176; // of a bar
const LEFT = 20;
const RIGHT = 14;
const TOP = 44; // of the highest string, under bar number, chords and bends
const GAP = 15; // from string to string
const STEPS = { 0.5: "1/4", 1: "1/2", 2: "1" }; // of a bend, by its semitones

export class TabView {
  /** panel: what is hidden without a solo; place, hint: for the bars, and for words where a solo has none. */
  constructor(settings, panel, place, hint) {
    Object.assign(this, { settings, panel, place, hint, drawn: "", notes: [] });
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
    this.hint.hidden = !this.settings.plays(SOLO) || this.isShown;
    this.panel.hidden = !this.settings.plays(SOLO);
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
      bars.push(this.#bar(key, bar, solos, bar === last));
    }
    this.place.replaceChildren(...bars);
  }

  #bar(key, bar, all, isLast) {
    const { track, written } = this.settings;
    const [from, to] = [barLine(track, bar), barLine(track, bar + 1)];
    const number = (bar % track.bars) + 1;
    const start = barLine(track, number - 1);
    const chords = [];
    track.chords.forEach(([at], n) => {
      const isHere = n === chordAt(track, start) || (at >= start && at < start + to - from);
      if (isHere) chords.push([from + Math.max(0, at - start), chordIn(track, n, key, written).name]);
    });
    const words = (places) => say(places ? "tab.bar" : "tab.rest", { bar: number, places });
    return tabBar({ from, to, isLast, number, chords, words, strings: track.tabStrings.length }, all, this.notes);
  }
}

/** A bar. chords: [tick, name]; words: says it from its places. notes: of the line; marks: get those drawn. */
export function tabBar({ from, to, isLast, number, chords, words, strings }, notes, marks = []) {
  const bottom = TOP + (strings - 1) * GAP;
  const inTime = (tick) => LEFT + ((WIDTH - LEFT - RIGHT) * (tick - from)) / (to - from);
  const here = notes.filter(({ at }) => from <= at && at < to);
  const spread = apart(here, inTime);
  const x = (tick) => spread.get(tick) ?? inTime(tick);
  const parts = [svg("text", { x: 1, y: 14, class: "bar-number" }, String(number))];
  for (let n = 0; n < strings; n++) {
    parts.push(svg("line", { x1: 0, x2: WIDTH, y1: TOP + n * GAP, y2: TOP + n * GAP, class: "string" }));
  }
  for (const at of isLast ? [0, WIDTH] : [0]) parts.push(svg("line", { x1: at, x2: at, y1: TOP, y2: bottom, class: "bar-line" }));
  for (const [at, name] of chords) parts.push(svg("text", { x: x(at), y: 14, class: "tab-chord" }, name));
  const places = [];
  for (const note of here) {
    const source = sourceOf(note, notes);
    const mark = drawn(note, x(note.at), source, source && Math.max(2, x(source.at)));
    parts.push(mark);
    marks.push({ at: note.at, length: note.length, mark });
    const place = say("tab.place", note);
    places.push(source ? say(`tab.joined.${note.joined}`, { place }) : place);
  }
  return picture({ class: "tab-bar", viewBox: `0 0 ${WIDTH} ${bottom + 10}` }, words(places.join(", ")), parts);
}

/** The places of ticks: as in time, but no fret lies on another. */
function apart(notes, inTime) {
  const strokes = [...new Set(notes.map(({ at }) => at))].map((at) => {
    return { at, x: inTime(at), half: Math.max(...notes.filter((note) => note.at === at).map(half)) };
  });
  for (const way of [1, -1]) {
    let edge = way > 0 ? 0 : -WIDTH;
    for (const stroke of strokes) {
      stroke.x = way * Math.max(way * stroke.x, edge + stroke.half);
      edge = way * stroke.x + stroke.half;
    }
    strokes.reverse();
  }
  return new Map(strokes.map(({ at, x }) => [at, x]));
}

/** Half of the width that a fret needs, with the room around it. */
function half({ fret, joined }) {
  return (fret > 9 ? 11.5 : 7) + (joined === SLIDE ? 2 : 0);
}

function sourceOf({ at, string, fret, joined }, notes) {
  const last = joined && notes.findLast((note) => note.at < at);
  const source = last && notes.find((note) => note.at === last.at && note.string === string);
  const way = source && fret - source.fret;
  return way && (joined === SLIDE || JOINS[way > 0 ? 1 : 2] === joined) ? source : null;
}

export function bendMark(bend) {
  return `↑${wordFor("bends", STEPS[bend])}`;
}

function drawn(note, x, source, before) {
  const y = TOP + (note.string - 1) * GAP;
  const wide = note.fret > 9 ? 18 : 12;
  const left = x - wide / 2;
  const { bend = 0, released = 0, comes = 0 } = note.gesture ?? {};
  const marks = [
    svg("rect", { x: left, y: y - 7.5, width: wide, height: 15, rx: 3 }),
    svg("text", { x, y, "text-anchor": "middle", "dominant-baseline": "central" }, String(note.fret)),
  ];
  const words = (x, y, text) => svg("text", { x, y, "text-anchor": "middle", class: "bend" }, text);
  const slide = (from, up) => svg("line", { x1: from, x2: Math.max(left - 1, from + 3), y1: y + up, y2: y - up, class: "slide" });
  if (bend) marks.push(words(x + 1, TOP - 12, bendMark(bend) + (released ? "↓" : "")));
  if (comes) marks.push(slide(left - 8, Math.sign(comes) * -5));
  if (source && note.joined === SLIDE) {
    marks.push(slide(Math.min(before + half(source), left - 2), 5 * Math.sign(note.fret - source.fret)));
  } else if (source) {
    const middle = (before + x) / 2;
    const slur = svg("path", { d: `M${before + 2} ${y - 8}Q${middle} ${y - 15} ${x - 2} ${y - 8}`, class: "slur" });
    marks.push(slur, words(middle, y - 13, say(`tab.letters.${note.joined}`)));
  }
  return svg("g", { class: "tab-note" }, ...marks);
}
