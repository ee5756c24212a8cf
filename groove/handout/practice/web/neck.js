// The drawing of a chord's arpeggio on a neck, in a position: the fret of the first finger.

import { pitchClass, spoken, spokenChord } from "./names.js";
import { picture, svg, toneMark } from "./svg.js";
import { say, wordFor } from "./words.js";

const NUMBERS_A_NOTE = 3;
const WIDTH = 46;
const HEIGHT = 32;
const LEFT = 14;
const TOP = 16;
const SIZE = 14.5;
const DOTTED = new Set([3, 5, 7, 9, 12, 15]);

/** Chord tones under the hand: [{string, fret, tone}], string 1 is the highest. */
export function tonesOnNeck(track, neck, chord, position) {
  const row = track.necks[neck].hands[chord.quality][pitchClass(chord.root)][position - 1];
  const found = [];
  for (let i = 0; i < row.length; i += NUMBERS_A_NOTE) {
    found.push({ string: row[i], fret: row[i + 1], tone: chord.tones[row[i + 2]] });
  }
  return found;
}

/** The drawing of an arpeggio in a position: the hand's frets and one more on either side. */
export function drawNeck(track, neck, chord, position) {
  const { strings, reach } = track.necks[neck];
  const first = position - 1;
  const frets = reach + 2;
  const tones = tonesOnNeck(track, neck, chord, position);
  const right = LEFT + frets * WIDTH;
  const bottom = TOP + (strings - 1) * HEIGHT;
  const across = (x) => (track.leftHanded ? LEFT + right - x : x);
  const parts = [];
  for (let n = 0; n <= frets; n++) {
    const nut = first === 0 && n === 1;
    const x = across(LEFT + n * WIDTH);
    parts.push(svg("line", { x1: x, x2: x, y1: TOP, y2: bottom, class: nut ? "nut" : "fret" }));
  }
  for (let s = 0; s < strings; s++) {
    const y = TOP + s * HEIGHT;
    parts.push(svg("line", { x1: LEFT, x2: right, y1: y, y2: y, class: "string" }));
  }
  for (let n = 0; n < frets; n++) {
    const fret = first + n;
    const marked = DOTTED.has(fret) ? "fret-number marked" : "fret-number";
    const x = across(LEFT + (n + 0.5) * WIDTH);
    parts.push(svg("text", { x, y: bottom + 30, "text-anchor": "middle", class: marked }, String(fret)));
  }
  for (const { string, fret, tone } of tones) {
    const x = across(LEFT + (fret - first + 0.5) * WIDTH);
    parts.push(toneMark(x, TOP + (string - 1) * HEIGHT, SIZE, tone));
  }
  const size = { class: "neck", viewBox: `0 0 ${right + LEFT} ${bottom + 38}` };
  return picture(size, saidNeck(neck, chord, position, tones), parts);
}

function saidNeck(neck, chord, position, tones) {
  const place = ({ tone, string, fret }) => say("hands.place", { note: spoken(tone.name), string, fret });
  return say("hands.on_neck", {
    chord: spokenChord(chord.name),
    instrument: wordFor("instruments", neck),
    fret: position,
    notes: tones.map(place).join(", "),
  });
}
