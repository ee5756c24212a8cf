// The length of a track as it is set, and its first and last key and tempo.

import { barLine, secondsBetween, settingOf } from "./road.js";
import { tuningTicks } from "./track.js";

const RING_SECONDS = 2.5; // after the last bar, until the last sound has died away

/** Seconds, the last sound's decay included; key and tempo of the first round and of the last. */
export function outline(settings) {
  const { track, rounds, from, to, countInBars, tuningNote } = settings;
  const going = settings.copy();
  const between = (start, end, course) => secondsBetween(track, start, end, going.tempo, course);
  const here = () => ({ key: going.key, tempo: going.tempo });
  const first = here();
  const [start, end] = [barLine(track, from - 1), barLine(track, to)];
  const before = settingOf(track, from - 1).barTicks * countInBars + (tuningNote ? tuningTicks(track, going.tempo, from - 1) : 0);
  let seconds = before * between(start, start + 1) + between(start, end);
  for (let round = 1; round < rounds; round++) {
    going.roundOver();
    seconds += between(start, end);
  }
  return { seconds: seconds + landingSeconds(settings, between) + RING_SECONDS, first, last: here() };
}

/** Seconds of the ending, 0 where none follows. */
function landingSeconds({ track, to, wholeForm }, between) {
  const { road, landing } = track;
  if (road) return to === track.bars ? between(barLine(track, track.bars), road.end) : 0;
  return wholeForm ? between(0, landing.end, landing.course) : 0;
}

/** A length as musicians write it: "3:07". */
export function lengthInWords(seconds) {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
