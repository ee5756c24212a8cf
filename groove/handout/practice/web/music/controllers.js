// The MIDI controllers of a part: pedal, swell and modulation, in time beside its notes.

import { numbersIn } from "./streams.js";

const PEDAL = 64;
const DOWN = 64; // a pedal is down from this value on (MIDI 1.0, from memory)

/** The controllers of a part in a key, in order: {at, number, value}; kind: "round" or "landing". */
export function controlsOf(track, key, part, kind) {
  const number = track.keys[key].controls?.[track.road ? "round" : kind]?.[part];
  if (number === undefined) return [];
  track.controlled ??= new Map();
  if (!track.controlled.has(number)) track.controlled.set(number, unpack(track.controls[number]));
  return track.controlled.get(number);
}

function unpack(text) {
  const controls = [];
  const numbers = numbersIn(text);
  let at = 0;
  for (let step = numbers.next(); !step.done; step = numbers.next()) {
    at += step.value;
    controls.push({ at, number: numbers.next().value, value: numbers.next().value });
  }
  return controls;
}

/** The ticks for which a note sounds: to its end, or until the pedal that is down there is lifted. */
export function ringingTicks(controls, { at, length }) {
  const end = at + length;
  const pedals = controls.filter(({ number }) => number === PEDAL);
  const before = pedals.findLast((pedal) => pedal.at <= end);
  if (!before || before.value < DOWN) return length;
  const lifted = pedals.find((pedal) => pedal.at > end && pedal.value < DOWN);
  return lifted ? lifted.at - at : length;
}

/** The controllers as they stand at a tick: the last of each number before it. */
export function standing(controls, tick) {
  return [...new Map(controls.filter(({ at }) => at < tick).map((one) => [one.number, one])).values()];
}
