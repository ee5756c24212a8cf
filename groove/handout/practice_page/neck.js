// The arpeggio of a chord on a neck: every chord tone within five frets of a position.

import { pitchClass } from "./names.js";
import { svg, toneMark } from "./svg.js";

/** Open strings from the highest, as they lie in a player's view of a chart (common practice). */
export const NECKS = { guitar: [64, 59, 55, 50, 45, 40], bass: [43, 38, 33, 28] };
const FRETS = 5;
const WIDTH = 58;
const HEIGHT = 28;
const LEFT = 30;
const TOP = 20;
const SIZE = 12;
const DOTTED = new Set([3, 5, 7, 9, 12, 15]);

/** Chord tones on the strings: [{string, fret, tone}], string 1 is the highest. */
export function tonesOnNeck(neck, chord, first) {
  const found = [];
  NECKS[neck].forEach((open, index) => {
    for (let fret = first; fret < first + FRETS; fret++) {
      const tone = chord.tones.find((t) => pitchClass(t.fifths) === (open + fret) % 12);
      if (tone) found.push({ string: index + 1, fret, tone });
    }
  });
  return found;
}

/** The drawing of an arpeggio from a fret on. */
export function drawNeck(neck, chord, first) {
  const strings = NECKS[neck].length;
  const tones = tonesOnNeck(neck, chord, first);
  const right = LEFT + FRETS * WIDTH;
  const bottom = TOP + (strings - 1) * HEIGHT;
  const drawing = svg("svg", {
    viewBox: `0 0 ${right + 12} ${bottom + 38}`,
    role: "img",
    class: "neck",
    "aria-label": saidNeck(neck, chord, first, tones),
  });
  for (let n = 0; n <= FRETS; n++) {
    const nut = first <= 1 && n === 1 - first;
    const x = LEFT + n * WIDTH;
    drawing.append(svg("line", { x1: x, x2: x, y1: TOP, y2: bottom, class: nut ? "nut" : "fret" }));
  }
  for (let s = 0; s < strings; s++) {
    const y = TOP + s * HEIGHT;
    drawing.append(svg("line", { x1: LEFT, x2: right, y1: y, y2: y, class: "string" }));
  }
  for (let n = 0; n < FRETS; n++) {
    const fret = first + n;
    const marked = DOTTED.has(fret) ? "fret-number marked" : "fret-number";
    const x = LEFT + (n + 0.5) * WIDTH;
    drawing.append(svg("text", { x, y: bottom + 30, "text-anchor": "middle", class: marked }, String(fret)));
  }
  for (const { string, fret, tone } of tones) {
    const x = LEFT + (fret - first + 0.5) * WIDTH;
    drawing.append(toneMark(x, TOP + (string - 1) * HEIGHT, SIZE, tone));
  }
  return drawing;
}

function saidNeck(neck, chord, first, tones) {
  const placed = tones.map((t) => `${t.tone.name} string ${t.string} fret ${t.fret}`).join(", ");
  return `${chord.name} on the ${neck}, frets ${first} to ${first + FRETS - 1}: ${placed}`;
}
