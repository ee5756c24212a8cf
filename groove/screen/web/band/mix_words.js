// Levels and places of players as the form file says them, and in words.

import { say } from "../../practice/music/words.js";

const FULL = 100;
const SIDES = { left: -1, right: 1 };

/** The place of a form's field, -100 (left) to 100; null where there is none or it can't be read. */
export function placeIn(value) {
  if (typeof value === "number") return value;
  const [side, far = String(FULL), ...more] = String(value ?? "").trim().toLowerCase().split(/\s+/);
  if (side === "middle") return 0;
  return side in SIDES && /^\d+$/.test(far) && !more.length ? SIDES[side] * Number(far) : null;
}

/** A level in dB, in words. */
export function levelInWords(level) {
  if (!level) return say("band.levels.as_mixed");
  return say(`band.levels.${level > 0 ? "louder" : "softer"}`, { decibels: Math.abs(level) });
}

/** A place in words. isAsked: whether the form says it. */
export function placeInWords(place, isAsked) {
  const words = place ? say(`band.levels.${place < 0 ? "left" : "right"}`, { far: Math.abs(place) }) : say("band.levels.middle");
  return isAsked ? words : say("band.levels.as_mixed_at", { place: words });
}
