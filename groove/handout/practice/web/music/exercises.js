// Scales and arpeggios to hear over a chord, where they are drawn. Pitches are MIDI notes, times are ticks.

import { tonesOnNeck } from "./hands.js";
import { pitchClass } from "./names.js";
import { shownOver, tonesOnKeys } from "./shown.js";
import { tonicIn } from "./track.js";

const OCTAVE = 12;
const MIDDLE = 60;
const LOWEST_DRAWN_C = 48; // of keys
const BEYOND = /^[♯♭]*1[13]$/; // degrees that an arpeggio leaves out

/** The semitones by which notes are written higher than they sound in a key, 0 to 11. */
function writtenUp({ track, written }, key) {
  return (pitchClass(tonicIn(track, key, written)) - key + OCTAVE) % OCTAVE;
}

/** Where some tones are drawn, rising: {pitch, mark}, pitch: as it sounds, mark: the name of its place in the drawing. */
export function drawnTones(settings, chord, tones) {
  const { shape, neck } = settings;
  const up = writtenUp(settings, chord.key);
  if (settings.onNeck) {
    const places = tonesOnNeck(neck, tones, settings.position(chord.key));
    const found = places.map(({ string, fret }) => ({ pitch: neck.strings.at(-string) + fret - up, mark: `${string}-${fret}` }));
    const rising = found.sort((one, other) => one.pitch - other.pitch);
    return rising.filter(({ pitch }, n) => pitch !== rising[n - 1]?.pitch);
  }
  return octaveOf(settings, tones, up, shape === "keyboard");
}

/** Tones from a chord's root up to its octave: on the keys that are drawn, else around the middle. */
function octaveOf(settings, tones, up, onKeys) {
  const [{ place: root }] = tonesOnKeys(tones);
  const low = MIDDLE - OCTAVE / 2 - (settings.track.clefs[settings.written] === "bass" ? OCTAVE : 0);
  const start = onKeys ? LOWEST_DRAWN_C + root - up : low + ((((root - up - low) % OCTAVE) + OCTAVE) % OCTAVE);
  const mark = (place) => (onKeys ? String(place) : `tone-${place % OCTAVE}`);
  const rising = tonesOnKeys(tones).map(({ place }) => ({ pitch: start + place - root, mark: mark(place) }));
  return [...rising, { pitch: start + OCTAVE, mark: mark(root + OCTAVE) }];
}

/** The notes of an arpeggio from a root up, 1 3 5 7 and 9, where they are drawn: {pitch, mark}; mark: null for one that isn't. */
export function arpeggio(settings, chord) {
  const tones = chord.tones.filter(({ degree }) => !BEYOND.test(degree));
  const drawn = drawnTones(settings, chord, chord.tones);
  const root = pitchClass(chord.root) - writtenUp(settings, chord.key);
  const roots = drawn.filter(({ pitch }) => (pitch - root) % OCTAVE === 0);
  const from = (low) => stacked(tones, low).map((pitch) => ({ pitch, mark: drawn.find((each) => each.pitch === pitch)?.mark ?? null }));
  const below = drawn[0].pitch - ((((drawn[0].pitch - root) % OCTAVE) + OCTAVE) % OCTAVE);
  const stacks = (roots.length ? roots.map(({ pitch }) => pitch) : [below]).map(from);
  const held = (stack) => stack.filter(({ mark }) => mark).length;
  return stacks.reduce((best, stack) => (held(stack) > held(best) ? stack : best));
}

/** The pitches of tones, each above the one before, the first at one. */
export function stacked(tones, low) {
  const pitches = [low];
  for (let n = 1; n < tones.length; n++) {
    const step = pitchClass(tones[n].fifths - tones[n - 1].fifths);
    pitches.push(pitches[n - 1] + step);
  }
  return pitches;
}

/** The tones of a scale over a chord by its title; null if it is none of those of the chord. */
export function scaleNamed(track, title, chord) {
  const own = chord.guide.own.findIndex(([name]) => name === title);
  if (own >= 0) return shownOver(track, `own-${own + 1}`, chord).tones;
  const whole = chord.whole.indexOf(title);
  return whole >= 0 ? shownOver(track, `whole-${whole + 1}`, chord).tones : null;
}

/** Rising places up and down again, as notes of a length; the last one is twice as long. */
export function upAndDown(rising, length, start) {
  const line = [...rising, ...rising.slice(0, -1).reverse()];
  return line.map((place, n) => ({ ...place, at: start + n * length, length: n === line.length - 1 ? 2 * length : length }));
}

/**
 * The next note of a run up and down through the places of the chords that sound: a function from the
 * rising places now to {pitch, mark}, null when it is at its lowest again.
 */
export function run() {
  let last = null;
  let way = 1;
  return (rising) => {
    const next = (toward) => {
      const beyond = rising.filter(({ pitch }) => last === null || toward * (pitch - last) > 0);
      return toward > 0 ? beyond[0] : beyond.at(-1);
    };
    let found = next(way);
    if (!found && way > 0) found = next((way = -1));
    if (found) last = found.pitch;
    return found ?? null;
  };
}

/** The ticks of an eighth note, in which scales go. */
export function eighth(track) {
  return track.quarterTicks / 2;
}
