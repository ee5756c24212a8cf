// The drawing of notes on a neck, in a position: the fret of the first finger.

import { reachOf, tonesOnNeck } from "../music/hands.js";
import { spoken, spokenChord } from "../music/names.js";
import { picture, svg, toneMark } from "./svg.js";
import { say, wordFor } from "../music/words.js";

const WIDTH = 46;
const HEIGHT = 32;
const LEFT = 36; // with the names of the strings
const RIGHT = 14;
const TOP = 16;
const SIZE = 14.5;
/** The frets that a neck has marks at. */
export const DOTTED = new Set([3, 5, 7, 9, 12, 15]);

/** The drawing of notes in a position: the hand's frets and one more on either side. */
export function drawNeck(tuning, chord, { title, tones }, position, leftHanded) {
  const { strings, names } = tuning;
  const first = position - 1;
  const frets = reachOf(tuning) + 2;
  const placed = tonesOnNeck(tuning, tones, position);
  const right = LEFT + frets * WIDTH;
  const bottom = TOP + (strings.length - 1) * HEIGHT;
  const across = (x) => (leftHanded ? right + RIGHT - x : x);
  const parts = [];
  for (let n = 0; n <= frets; n++) {
    const nut = first === 0 && n === 1;
    const x = across(LEFT + n * WIDTH);
    parts.push(svg("line", { x1: x, x2: x, y1: TOP, y2: bottom, class: nut ? "nut" : "fret" }));
  }
  for (let s = 0; s < strings.length; s++) {
    const y = TOP + s * HEIGHT;
    parts.push(svg("line", { x1: across(LEFT), x2: across(right), y1: y, y2: y, class: "string" }));
    const place = { x: across(LEFT / 2 - 2), y, "text-anchor": "middle", "dominant-baseline": "central" };
    parts.push(svg("text", { ...place, class: "string-name" }, names.at(-1 - s)));
  }
  for (let n = 0; n < frets; n++) {
    const fret = first + n;
    const marked = DOTTED.has(fret) ? "fret-number marked" : "fret-number";
    const x = across(LEFT + (n + 0.5) * WIDTH);
    parts.push(svg("text", { x, y: bottom + 30, "text-anchor": "middle", class: marked }, String(fret)));
  }
  for (const { string, fret, tone } of placed) {
    const x = across(LEFT + (fret - first + 0.5) * WIDTH);
    parts.push(toneMark(x, TOP + (string - 1) * HEIGHT, SIZE, tone, `${string}-${fret}`));
  }
  const size = { class: "neck", viewBox: `0 0 ${right + RIGHT} ${bottom + 38}` };
  return picture(size, saidNeck(tuning, chord, title, position, placed), parts);
}

function saidNeck(tuning, chord, title, position, placed) {
  const place = ({ tone, string, fret }) => {
    const note = saidTone(tone, title);
    return say(fret === 0 ? "hands.open_place" : "hands.place", { note, string, fret });
  };
  return say(title === null ? "hands.on_neck" : "hands.scale_on_neck", {
    chord: spokenChord(chord.name),
    scale: spoken(title ?? ""),
    instrument: wordFor("instruments", tuning.instrument),
    fret: position,
    notes: placed.map(place).join(", "),
  });
}

/** A note as a screen reader says it: of a scale with what it is to the chord. */
export function saidTone(tone, title) {
  const note = spoken(tone.name);
  if (title === null || tone.kind === "in_scale") return note;
  return say(tone.kind === "passing" ? "hands.passing_tone" : "hands.chord_tone", { note });
}
