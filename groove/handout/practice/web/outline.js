// The length of a track as it is set, and its first and last key and tempo.

import { secondsPerTick } from "./time.js";
import { barTicks, tuningBars } from "./track.js";

const RING_SECONDS = 2.5; // after the last bar, until the last sound has died away

/** Seconds, the last sound's decay included; key and tempo of the first round and of the last. */
export function outline(settings) {
  const { track, rounds, from, to, countInBars, tuningNote, wholeForm } = settings;
  const going = settings.copy();
  const bar = () => barTicks(track) * secondsPerTick(track, going.tempo);
  const here = () => ({ key: going.key, tempo: going.tempo });
  const first = here();
  const before = countInBars + (tuningNote ? tuningBars(track, going.tempo) : 0);
  let seconds = (before + to + 1 - from) * bar();
  for (let round = 1; round < rounds; round++) {
    going.roundOver();
    seconds += (to + 1 - from) * bar();
  }
  return { seconds: seconds + (wholeForm ? bar() : 0) + RING_SECONDS, first, last: here() };
}

/** A length as musicians write it: "3:07". */
export function lengthInWords(seconds) {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
