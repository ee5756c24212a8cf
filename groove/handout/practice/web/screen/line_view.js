// A written line on the screen: as tablature, or as the names of its notes.

import { spoken } from "../music/names.js";
import { say } from "../music/words.js";
import { html } from "./svg.js";
import { bendMark, tabBar } from "./tab.js";

/** The numbers of the bars of a line of so many bars, from 1 on; a pick-up is in bar 0. */
export function barsOf(notes, count) {
  const first = notes[0].at < 0 ? 0 : 1;
  return Array.from({ length: count + 1 - first }, (_, n) => first + n);
}

/** The bars of a line as tablature under its chord. strings: how many. marks: gets {at, length, mark} of each note. */
export function lineTab(notes, { bars, barTicks, chord, strings, marks = [] }) {
  return bars.map((bar, n) => {
    const from = (bar - 1) * barTicks;
    const chords = bar === 1 ? [[from, chord]] : [];
    const words = (said) => say(!said ? "tab.rest" : bar ? "tab.bar" : "lines.pickup", { bar, places: said });
    const shape = { from, to: from + barTicks, isLast: n === bars.length - 1, number: bar || "", chords, words, strings };
    return tabBar(shape, notes, marks);
  });
}

/** The names of the notes of a line with bar lines, to see, and their words for a screen reader. */
export function lineInWords(notes, names, bars, barTicks) {
  const strokes = (bar, named) => {
    const found = new Map();
    notes.forEach(({ at, gesture: { bend } }, n) => {
      if (Math.floor(at / barTicks) + 1 === bar) found.set(at, [...(found.get(at) ?? []), named(names[n], bend)]);
    });
    return [...found.values()];
  };
  const bent = (note, bend) => (bend ? say("lines.bent", { note }) : note);
  const marked = (note, bend) => note + (bend ? bendMark(bend) : "");
  const seen = bars.map((bar) => strokes(bar, marked).map((found) => found.join("+")).join(" ")).join(" | ");
  const together = (found) => (found.length > 1 ? say("lines.together", { notes: found.join(", ") }) : found[0]);
  const said = bars.map((bar) => strokes(bar, bent).map(together).join(", ")).join("; ");
  return [html("span", { "aria-hidden": "true" }, seen), html("span", { class: "unseen" }, spoken(said))];
}
