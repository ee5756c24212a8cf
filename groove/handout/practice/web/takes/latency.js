// The latency of a device: how long after the page plays a sound the microphone brings it back. Found
// from clicks that the microphone hears, or from taps to clicks that the student hears.

import { median } from "../music/median.js";

const PROBE = { seconds: 0.02, low: 700, high: 7000, level: 0.35 }; // hertz, and the peak
const CLEAR = 10; // how far a click stands out from its surroundings; noise alone reaches about 6
const FIRST_SHARE = 0.7; // the first as strong as this share of the strongest is the sound itself
const NEAR_SECONDS = 0.0005;
const LEAST_CLICKS = 5; // that agree
const APART_SECONDS = 0.003; // the most for clicks that agree
const LEAST_TAPS = 8;
const UNEVEN_SECONDS = 0.045; // half of the taps are nearer to the median, or they are uneven

/** The longest latency that is found or can be set, in seconds. */
export const LONGEST = 0.6;
/** How many taps are asked for. */
export const TAPS = LEAST_TAPS;

/** The click that is played to be heard: a short glide through what small loudspeakers play well. */
export function probe(rate) {
  const { seconds, low, high, level } = PROBE;
  const length = Math.round(seconds * rate);
  return Float32Array.from({ length }, (_, i) => {
    const time = i / rate;
    const turns = low * time + ((high - low) * time ** 2) / (2 * seconds);
    return level * Math.sin(2 * Math.PI * turns) * Math.sin((Math.PI * (i + 0.5)) / length) ** 2;
  });
}

/**
 * Where a click lies in a signal, in frames, and how clear it is: its correlation there over that at an
 * average place. The first arrival counts, not an echo.
 */
export function findClick(signal, click) {
  const places = signal.length - click.length + 1;
  const alike = Float32Array.from({ length: places }, (_, from) => {
    let sum = 0;
    for (let i = 0; i < click.length; i++) sum += click[i] * signal[from + i];
    return Math.abs(sum);
  });
  const most = alike.reduce((one, other) => Math.max(one, other), 0);
  const usual = median(alike);
  return { at: most && firstPeak(alike, FIRST_SHARE * most, click.length), clear: usual ? most / usual : most && Infinity };
}

/** The first place that reaches a level, then the highest close by. */
function firstPeak(alike, level, length) {
  const reached = alike.findIndex((value) => value >= level);
  const near = Math.ceil((NEAR_SECONDS / PROBE.seconds) * length);
  let highest = reached;
  for (let at = reached; at <= Math.min(alike.length - 1, reached + near); at++) {
    if (alike[at] > alike[highest]) highest = at;
  }
  return highest;
}

/**
 * The latency that several clicks tell: {latency} in seconds, or {reason}: "unheard" where too few are
 * clear, "apart" where they disagree. found: {late, clear} each, late in seconds.
 */
export function fromClicks(found) {
  const heard = found.filter(({ clear }) => clear >= CLEAR).map(({ late }) => late);
  if (heard.length < LEAST_CLICKS) return { reason: "unheard" };
  const middle = median(heard);
  const agreeing = heard.filter((late) => Math.abs(late - middle) <= APART_SECONDS);
  if (agreeing.length < LEAST_CLICKS || agreeing.length <= found.length / 2) return { reason: "apart" };
  return { latency: median(agreeing) };
}

/**
 * The latency that taps tell: {latency}, at least 0, or {reason}: "uneven". lates: seconds from a click
 * to its tap.
 */
export function fromTaps(lates) {
  const middle = median(lates);
  const distance = median(lates.map((late) => Math.abs(late - middle)));
  if (distance > UNEVEN_SECONDS) return { reason: "uneven" };
  return { latency: Math.max(0, middle) };
}

/** Seconds from the click that a tap belongs to; a tap is up to a third of the time between two early. */
export function lateTap(tap, clicks, between) {
  const click = clicks.findLast((at) => at - between / 3 <= tap);
  return click === undefined || tap - click > (2 / 3) * between ? null : tap - click;
}
