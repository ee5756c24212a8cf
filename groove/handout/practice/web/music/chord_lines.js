// The chords of the track to hear: lines of guide tones through them, and each as the band plays it. Pitches are
// MIDI notes, times are ticks.

import { stacked } from "./exercises.js";
import { pitchClass } from "./names.js";
import { barLine } from "./road.js";
import { numbersIn } from "./streams.js";
import { chordIn, isSameChord, notesOf, programAt, SOLO, soundOf, STRUCK } from "./track.js";

const OCTAVE = 12;
const LOWEST_ROOT = 48; // of a chord that no player has
const APART = 4; // semitones: how far from the middle two lines of guide tones begin
const REACH = 12; // from the middle, beyond which a line goes on in another octave
const CHORD_VELOCITY = 54; // quieter than what is heard over it
const STACK = 4; // notes of a chord that no player has
/** Parts that play no chords. */
const NO_CHORDS = new Set([...STRUCK, "bass", "melody", "riff", SOLO]);

/** The pitches of both lines of guide tones for each chord of the track, in a key; the lower line first. */
export function guideTones(settings, key) {
  const { track } = settings;
  const { guideTones: text, middles } = track.hear;
  const { strings } = settings.onNeck ? settings.neck : {};
  const middle = strings ? Math.floor((Math.min(...strings) + Math.max(...strings)) / 2) + middles.neck : middles[track.clefs[settings.written]];
  const fifths = [...numbersIn(text)];
  let before = [middle - APART, middle + APART];
  return track.chords.map((chord, n) => {
    const moved = chord[7] ?? 0;
    before = before.map((near, line) => nearest(key + moved + pitchClass(fifths[2 * n + line]), near, middle));
    return before;
  });
}

function nearest(tone, near, middle) {
  const pitch = near + ((((tone - near + 5) % OCTAVE) + OCTAVE) % OCTAVE) - 5;
  if (pitch > middle + REACH) return pitch - OCTAVE;
  return pitch < middle - REACH ? pitch + OCTAVE : pitch;
}

/** The first and the last tick of a chord of the track, and its number, from a tick on: those that are the same go together. */
export function chordSpan(track, number) {
  let last = number;
  while (track.chords[last + 1] && isSameChord(track, last + 1, number)) last++;
  return { from: track.chords[number][0], to: track.chords[last][0] + track.chords[last][1], last };
}

/** A chord of the track as the band's player of chords has it in a key: {part, sound, pitches}. */
export function voicing(settings, number, key) {
  const { track } = settings;
  const spans = track.chords.filter((_, other) => isSameChord(track, other, number));
  const round = barLine(track, track.bars);
  let best = null;
  for (const part of track.parts.filter(({ name }) => !NO_CHORDS.has(name))) {
    const strokes = new Map();
    for (const note of notesOf(track, track.keys[key].round[part.name])) {
      const tick = track.road ? note.at : note.at % round;
      if (!spans.some(([start, length]) => start <= tick && tick < start + length)) continue;
      strokes.set(note.at, [...(strokes.get(note.at) ?? []), note.pitch]);
    }
    for (const [at, pitches] of strokes) {
      if (pitches.length <= (best?.pitches.length ?? 2)) continue;
      best = { part: part.name, sound: soundOf(part, programAt(part, at)), pitches };
    }
  }
  return best ?? { part: SOLO, sound: SOLO, pitches: plainChord(settings, number, key) };
}

/** A chord in close position under the middle. */
function plainChord(settings, number, key) {
  const chord = chordIn(settings.track, number, key, settings.track.readers[0][0]);
  return stacked(chord.tones.slice(0, STACK), LOWEST_ROOT + pitchClass(chord.root));
}

/** A chord of `voicing` as it is held under others. */
export function heldChord(chord) {
  return { ...chord, velocity: CHORD_VELOCITY };
}
