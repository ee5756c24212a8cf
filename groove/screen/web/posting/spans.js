// Lengths of time in words.

import { say, sayMany } from "../../practice/music/words.js";

const MOMENT = 8; // s
const STEP = 5; // s
const MINUTES = 90; // s from which on minutes are told
const HOURS = 90 * 60; // s

/** Some seconds in words, the more roughly the more they are. */
export function timeInWords(seconds) {
  if (seconds < MOMENT) return say("posting.time.moment");
  if (seconds < MINUTES) return say("posting.time.seconds", { number: Math.round(seconds / STEP) * STEP });
  if (seconds < HOURS) return sayMany("posting.time.minutes", Math.round(seconds / 60));
  return say("posting.time.hours", { number: (seconds / 3600).toFixed(1) });
}
