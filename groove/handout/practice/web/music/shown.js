// The notes drawn over a chord on neck, keys and staff: its own tones, a scale for the whole form, or one
// of the chord's own scales. Chord tones stand out, and notes to pass through are marked.

import { noteName, pitchClass } from "./names.js";
import { guideIn } from "./track.js";
import { say } from "./words.js";

const MOST_OWN = 3; // scales of a chord that can be chosen
const NATURAL = [0, 2, 4, -1, 1, 3, 5]; // steps 1 to 7 on the line of fifths
/** The kinds of marks, as their legend has them. */
export const KINDS = ["root", "in_chord", "in_scale", "passing"];
/** Chord tones alone. */
export const TONES = "tones";

/** What can be drawn in a key, in words: [value, words]; the first recommended scale has the first. */
export function scaleChoices(track, key, written) {
  const guide = guideIn(track, key, written);
  const own = Math.min(MOST_OWN, Math.max(...guide.chords.map((chord) => chord.own.length)));
  const numbers = Array.from({ length: own }, (_, n) => n + 1);
  return [
    ...guide.whole.map((scale, n) => [`whole-${n + 1}`, say("shown.whole", { scale })]),
    ...numbers.map((number) => [`own-${number}`, say(number > 1 ? "shown.own_next" : "shown.own", { number })]),
    [TONES, say("shown.tones")],
  ];
}

/**
 * The notes to draw over a chord: {title, tones}; title: of a scale, null for chord tones. A tone:
 * fifths, name, degree above the chord's root, kind.
 */
export function shownOver(track, scale, chord) {
  const [title, number] = scaleOver(scale, chord);
  const inside = new Map(chord.tones.map((tone) => [pitchClass(tone.fifths), tone]));
  if (title === null) return { title, tones: chord.tones.map((tone) => asChordTone(tone)) };
  const [held, passing, blue = []] = track.scales[number];
  const asTone = (step, kind) => {
    const fifths = chord.root + step;
    const own = inside.get(pitchClass(fifths));
    if (own) return asChordTone(own);
    const meant = blue.find((other) => pitchClass(other) === pitchClass(step)) ?? step;
    return { fifths, name: noteName(fifths), degree: degreeOf(meant), kind };
  };
  const tones = [...held.map((step) => asTone(step, "in_scale")), ...passing.map((step) => asTone(step, "passing"))];
  const up = ({ fifths }) => pitchClass(fifths - chord.root);
  return { title, tones: tones.sort((one, other) => up(one) - up(other)) };
}

/** Semitones of each tone above the lowest C drawn, the first in the first octave, rising. */
export function tonesOnKeys(tones) {
  let before = -1;
  return tones.map((tone) => {
    let place = pitchClass(tone.fifths);
    while (place < before) place += 12;
    before = place;
    return { place, tone };
  });
}

/** Title and number of the scale that is chosen, over a chord; a null title for chord tones. */
function scaleOver(scale, { guide, whole }) {
  const [kind, number] = scale.split("-");
  if (kind === "whole" && whole[number - 1]) return [whole[number - 1], guide.sets[number - 1]];
  if (kind !== TONES && guide.own.length) return guide.own[Math.min(number, guide.own.length) - 1];
  return kind !== TONES && whole.length ? [whole[0], guide.sets[0]] : [null, null];
}

function asChordTone(tone) {
  return { ...tone, kind: tone.degree === "1" ? "root" : "in_chord" };
}

/** The degree of a note so many fifths above a root: "♭3". */
function degreeOf(fifths) {
  const step = (((fifths * 4) % 7) + 7) % 7;
  const alter = (fifths - NATURAL[step]) / 7;
  return (alter > 0 ? "♯".repeat(alter) : "♭".repeat(-alter)) + (step + 1);
}
