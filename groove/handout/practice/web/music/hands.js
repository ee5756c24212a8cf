// The notes under a hand on a neck, found as groove.instrument.positions finds them: the hand takes in
// whole frets, and one finger stretches a fret further where fewer notes are missing then. Notes are
// pitch classes; string 1 is the highest of a guitar.

import { pitchClass } from "./names.js";

const OCTAVE = 12;
const LOWEST_MOVABLE = 2; // below it a hand plays open strings too
const HIGHEST_HAND = 10; // above it a hand stays for a whole form only if lower ones lack notes
const HOME_SHARE = 5 / 24; // of the neck, where frets are neither wide nor far
const FEWEST_FRETS = 4; // in a drawing
const REACH = { 1: 4, 2: 7 }; // frets under a hand, by those of a finger

/** The frets under a hand that does not stretch. */
export function reachOf(tuning) {
  return REACH[tuning.fretsAFinger];
}

/**
 * Some materials under a hand whose first finger plays a fret, at fret 1 with open strings: the first
 * and the last fret to show, and of each material its places: {string, fret, pitch}.
 */
function underHand(tuning, materials, fret) {
  const low = fret === 1 ? 0 : fret;
  const neck = [fret === 1 ? 0 : 1, tuning.frets];
  const under = stretched(tuning, materials, [low, fret + reachOf(tuning) - 1], neck);
  const places = materials.map((classes) => within(tuning, classes, under));
  return { frets: shown(places.flat(), under), places };
}

/** Some tones under the hand: [{string, fret, tone}], string 1 is the highest. */
export function tonesOnNeck(tuning, tones, position) {
  const byClass = new Map(tones.map((tone) => [pitchClass(tone.fifths), tone]));
  const [places] = underHand(tuning, [new Set(byClass.keys())], position).places;
  return places.map(({ string, fret, pitch }) => ({ string, fret, tone: byClass.get(pitch % 12) }));
}

/** The position in which most of some materials can be had, as the lesson sheet chooses it. */
export function usualHand(tuning, materials) {
  const last = Math.min(LOWEST_MOVABLE + OCTAVE - 1, tuning.frets - reachOf(tuning) + 1);
  let [best, least] = [LOWEST_MOVABLE, null];
  for (let hand = LOWEST_MOVABLE; hand <= last; hand++) {
    const trouble = troubleOf(tuning, materials, hand);
    if (least === null || isLess(trouble, least)) [best, least] = [hand, trouble];
  }
  return ((best - 1) % OCTAVE) + 1;
}

function troubleOf(tuning, materials, hand) {
  const { places } = underHand(tuning, materials, hand);
  const count = (test) => materials.filter((classes, n) => test(places[n], classes)).length;
  const isPartial = (held, classes) => new Set(held.map(({ pitch }) => pitch % OCTAVE)).size < classes.size;
  const stretches = (held) => held.some(({ fret }) => fret < hand || fret >= hand + reachOf(tuning));
  return [
    count(isPartial),
    Number(hand > HIGHEST_HAND),
    sum(materials.map((classes, n) => missing(classes, places[n]).length)),
    count(stretches),
    Math.abs(hand - Math.floor(tuning.frets * HOME_SHARE)),
  ];
}

/** The frets that a hand takes in: of no stretch, one up and one back the one that misses least. */
function stretched(tuning, materials, hand, neck) {
  const [low, high] = hand;
  const reached = [[low, high + 1], [low - 1, high]].filter(([first, last]) => neck[0] <= first && last <= neck[1]);
  const wanted = materials.map((classes) => missing(classes, within(tuning, classes, hand)));
  const trouble = (frets) => {
    const held = materials.map((classes) => within(tuning, classes, frets));
    const lost = wanted.map((notes, n) => notes.filter((pitch) => !held[n].some((place) => place.pitch === pitch)).length);
    return [sum(lost), sum(held.map(({ length }) => length))];
  };
  return reached.reduce((best, frets) => (isLess(trouble(frets), trouble(best)) ? frets : best), hand);
}

/** Every place of some pitch classes between two frets, string by string upwards. */
function within(tuning, classes, [first, last]) {
  const found = [];
  tuning.strings.forEach((open, n) => {
    const string = tuning.strings.length - n;
    for (let fret = first; fret <= last; fret++) {
      if (classes.has((open + fret) % OCTAVE)) found.push({ string, fret, pitch: open + fret });
    }
  });
  return found;
}

/** The notes between the lowest and the highest held that are not. */
function missing(classes, held) {
  const heard = new Set(held.map(({ pitch }) => pitch));
  const found = [];
  for (let pitch = Math.min(...heard); pitch < Math.max(...heard); pitch++) {
    if (classes.has(pitch % OCTAVE) && !heard.has(pitch)) found.push(pitch);
  }
  return found;
}

/** The frets of a drawing: those played, and of the others under the hand up to four. */
function shown(held, under) {
  const played = held.length ? held.map(({ fret }) => fret) : under;
  const [low, high] = [Math.min(...played), Math.max(...played)];
  const last = Math.min(Math.max(high, low + FEWEST_FRETS - 1), under[1]);
  return [Math.max(Math.min(low, last - FEWEST_FRETS + 1), under[0]), last];
}

function sum(numbers) {
  return numbers.reduce((total, number) => total + number, 0);
}

/** Whether a list of numbers comes before another. */
function isLess(one, other) {
  const n = one.findIndex((number, place) => number !== other[place]);
  return n >= 0 && one[n] < other[n];
}
