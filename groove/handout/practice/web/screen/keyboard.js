// The drawing of notes on two octaves of a keyboard, from a chord's root up.

import { spoken, spokenChord } from "../music/names.js";
import { tonesOnKeys } from "../music/shown.js";
import { saidTone } from "./neck.js";
import { picture, svg, toneMark } from "./svg.js";
import { say } from "../music/words.js";

const WHITE = [0, 2, 4, 5, 7, 9, 11];
const WIDTH = 24;
const LONG = 104;
const SHORT = 64;
const OCTAVES = 2;
const SIZE = 11.5;

/** The drawing of notes over a chord. */
export function drawKeyboard(chord, { title, tones: asked }) {
  const tones = tonesOnKeys(asked);
  const octaves = Math.max(OCTAVES, ...tones.map(({ place }) => Math.floor(place / 12) + 1));
  const parts = [];
  for (let n = 0; n < 7 * octaves; n++) {
    parts.push(svg("rect", { x: n * WIDTH, y: 0, width: WIDTH, height: LONG, class: "white" }));
  }
  for (let place = 0; place < 12 * octaves; place++) {
    if (WHITE.includes(place % 12)) continue;
    const x = middle(place) - WIDTH * 0.3;
    parts.push(svg("rect", { x, y: 0, width: WIDTH * 0.6, height: SHORT, class: "black" }));
  }
  for (const { place, tone } of tones) {
    const y = WHITE.includes(place % 12) ? LONG - 18 : SHORT - 16;
    parts.push(toneMark(middle(place), y, SIZE, tone, place));
  }
  const size = { class: "keys", viewBox: `-2 -2 ${7 * octaves * WIDTH + 4} ${LONG + 4}` };
  const notes = tones.map(({ tone }) => saidTone(tone, title)).join(", ");
  const names = { chord: spokenChord(chord.name), scale: spoken(title ?? ""), notes };
  return picture(size, say(title === null ? "hands.on_keys" : "hands.scale_on_keys", names), parts);
}

/** The middle of a key from the left. */
function middle(place) {
  const octave = Math.floor(place / 12);
  const white = WHITE.indexOf(place % 12);
  if (white >= 0) return (octave * 7 + white + 0.5) * WIDTH;
  return (octave * 7 + WHITE.indexOf((place % 12) - 1) + 1) * WIDTH;
}
