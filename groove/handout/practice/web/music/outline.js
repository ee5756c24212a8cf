// The length of a track as it is set, and its first and last key and tempo.

import { barLine, secondsBetween, settingOf } from "./road.js";
import { tuningTicks } from "./track.js";

const RING_SECONDS = 2.5; // after the last bar, until the last sound has died away

/** Seconds, the last sound's decay included; key and tempo of the first round and of the last. */
export function outline(settings) {
  const { track, rounds, from, to, countInBars, tuningNote, machine } = settings;
  const going = settings.copy();
  const between = (start, end, course) => secondsBetween(track, start, end, going.tempo, course);
  const here = () => ({ key: going.key, tempo: going.tempo });
  const first = here();
  const [start, end] = [barLine(track, from - 1), barLine(track, to)];
  const { barTicks } = settingOf(track, from - 1);
  const before = barTicks * countInBars + (tuningNote ? tuningTicks(track, going.tempo, from - 1) : 0);
  const rest = barTicks * (machine.rest + (machine.recount ? Math.max(1, countInBars) : 0));
  let seconds = before * between(start, start + 1) + between(start, end);
  for (let round = 1; round < rounds; round++) {
    if (round % machine.clean === 0) going.roundOver();
    seconds += rest * between(start, start + 1) + between(start, end);
  }
  return { seconds: seconds + landingSeconds(settings, between) + RING_SECONDS, first, last: here() };
}

/** Seconds of the ending, 0 where none follows. */
function landingSeconds({ track, to, wholeForm, machine }, between) {
  const { road, landing } = track;
  if (machine.alone) return 0;
  if (road) return to === track.bars ? between(barLine(track, track.bars), road.end) : 0;
  return wholeForm ? between(0, landing.end, landing.course) : 0;
}

/** A length as musicians write it: "3:07". */
export function lengthInWords(seconds) {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
