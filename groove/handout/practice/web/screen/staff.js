// The drawing of notes on a staff, from a chord's root up, in the reader's clef: tones of the chord with
// filled heads, those of a scale with open ones, those to pass through in brackets.

import { letterOf, pitchClass, spoken, spokenChord } from "../music/names.js";
import { saidTone } from "./neck.js";
import { picture, svg } from "./svg.js";
import { say } from "../music/words.js";

const SPACE = 12; // from line to line
const EM = 4 * SPACE; // of a glyph: the height of the staff, as music faces have it
const TOP = 4 * SPACE; // of the highest line, with room for ledger lines
const LEFT = 4;
const GAP = 38; // from note to note
const MOST = 8; // notes
const SIGNS = { 0: "natural", 1: "sharp", 2: "double sharp", "-1": "flat", "-2": "double flat" };
/** The step of the middle line, the lowest step of a chord's root, and the clef's own line over the middle. */
const CLEFS = {
  treble: { middle: 4 * 7 + 6, lowest: 4 * 7, line: -1 },
  bass: { middle: 3 * 7 + 1, lowest: 2 * 7 + 2, line: 1 },
};

/** The drawing of notes over a chord; clef: "treble" or "bass". */
export function drawStaff(track, clef, chord, { title, tones }) {
  const { middle, lowest, line } = CLEFS[clef];
  const center = TOP + 2 * SPACE;
  const right = LEFT + 56 + MOST * GAP;
  const parts = [-2, -1, 0, 1, 2].map((n) => ruled(LEFT, right, center + n * SPACE));
  parts.push(glyph(track, `${clef} clef`, LEFT + 6, center - line * SPACE));
  const altered = new Map(); // sharps and flats by their steps
  stepsOf(tones, lowest).forEach(({ tone, step }, n) => {
    const x = LEFT + 68 + n * GAP;
    const y = center - ((step - middle) * SPACE) / 2;
    for (let ledger = 6; ledger <= Math.abs(step - middle); ledger += 2) {
      const at = center - (Math.sign(step - middle) * ledger * SPACE) / 2;
      parts.push(ruled(x - 5, x + 19, at));
    }
    parts.push(svg("g", { "data-at": `tone-${pitchClass(tone.fifths)}` }, ...head(track, tone, signAt(tone, step, altered), x, y)));
  });
  const notes = tones.map((tone) => saidTone(tone, title)).join(", ");
  const names = { chord: spokenChord(chord.name), scale: spoken(title ?? ""), notes };
  const size = { class: "staff", viewBox: `0 0 ${right + LEFT} ${center + 2 * SPACE + TOP}` };
  return picture(size, say(title === null ? "hands.on_staff" : "hands.scale_on_staff", names), parts);
}

/** The step of each tone on the staff, counted from the lowest C, rising from a root at `lowest` or above. */
export function stepsOf(tones, lowest) {
  let before = lowest;
  return tones.map((tone) => {
    let step = "CDEFGAB".indexOf(letterOf(tone.fifths).letter);
    while (step < before) step += 7; // two notes may stand on one step
    before = step;
    return { tone, step };
  });
}

/** The sign that a note needs after those before it. */
function signAt({ fifths }, step, altered) {
  const { sharps } = letterOf(fifths);
  const isNew = sharps !== (altered.get(step) ?? 0);
  altered.set(step, sharps);
  return isNew ? SIGNS[sharps] : null;
}

function head(track, tone, sign, x, y) {
  const isOpen = tone.kind === "in_scale" || tone.kind === "passing";
  const parts = [glyph(track, isOpen ? "whole notehead" : "black notehead", x, y)];
  if (sign) parts.push(glyph(track, sign, x - 3 - (track.glyphs[sign][0] * EM) / 1000, y));
  if (tone.kind === "passing") {
    const text = (place, words) => svg("text", { x: place, y: y + 5, class: "bracket", "text-anchor": "middle" }, words);
    parts.push(text(x - (sign ? 16 : 5), "("), text(x + 21, ")"));
  }
  return parts;
}

function ruled(from, to, y) {
  return svg("line", { x1: from, x2: to, y1: y, y2: y, class: "string" });
}

/** A glyph of the music face with its left edge at x, on the line y. */
function glyph(track, name, x, y) {
  const scale = EM / 1000;
  return svg("path", { d: track.glyphs[name][1], transform: `translate(${x} ${y}) scale(${scale} ${-scale})`, class: "glyph" });
}
