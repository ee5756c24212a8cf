// The pitch of a sound: its period by normalised autocorrelation (McLeod & Wyvill 2005, "A smarter way to
// find pitch", from memory), then its exact frequency from the partials that lie there.

import { transform } from "./fourier.js";
import { hertzOfPartials } from "./partials.js";

/** The pitches that are found, in hertz. */
const LOWEST = 26;
const HIGHEST = 1500;
/** Seconds of sound that are looked at. */
export const SECONDS = 0.345;
const INNER_RATE = 12000; // hertz, about: a tuner needs no partials above 5 kHz
const SHORT = 2048; // samples at that rate: six periods of the lowest
const LONG = 4096;
const LOW = 72; // hertz, below which partials are too close for the short window
const TAPS = 12; // of the filter, for each sample that is left out, on each side
const RUMBLE = 22; // hertz, below which nothing is heard
const NEAR_HIGHEST = 0.9; // of the highest peak: the first that is as high has the period
/**
 * A period longer than so many samples, whose height is known well, is also no further below the highest peak
 * than this, or than so many times what that one lacks to 1: a tone that is nearly all octave is not taken for it.
 */
const NEARER = { samples: 40, least: 0.012, missing: 2 };
const CLEAR = 0.5; // of a peak of the autocorrelation, 1 for a tone without noise
const SILENT = 10 ** (-75 / 20);

/**
 * The pitch of the last `SECONDS` of samples, of a rate in hertz: {hertz, clear, level}. hertz: null where no
 * single tone is heard. clear: 1 for a tone without noise. level: of the sound, 1 for full scale.
 */
export function pitchOf(samples, rate) {
  const factor = Math.max(1, Math.round(rate / INNER_RATE));
  const inner = rate / factor;
  const whole = withoutRumble(thinned(samples, factor, LONG), inner);
  const last = whole.subarray(Math.max(0, whole.length - SHORT));
  const level = rms(last);
  const found = level < SILENT ? null : periodOf(last, inner);
  const rough = inner / found?.period;
  const isTone = found?.clear >= CLEAR && rough >= LOWEST && rough <= HIGHEST;
  const hertz = isTone ? hertzOfPartials(rough < LOW ? whole : last, inner, rough) : null;
  return { hertz, clear: Math.max(0, found?.clear ?? 0), level };
}

/** The last samples at a rate that is so many times lower, up to `most` of them; what is too high for it is filtered out. */
function thinned(samples, factor, most) {
  if (factor === 1) return Float64Array.from(samples.subarray(-most));
  const reach = TAPS * factor;
  const weights = lowPass(factor, reach);
  const count = Math.min(most, Math.floor((samples.length - 2 * reach) / factor));
  const first = samples.length - reach - 1 - (count - 1) * factor;
  return Float64Array.from({ length: count }, (_, n) => {
    const at = first + n * factor - reach;
    let sum = 0;
    for (let k = 0; k <= 2 * reach; k++) sum += weights[k] * samples[at + k];
    return sum;
  });
}

const filters = new Map();

/** The weights of a low-pass filter: a sinc in a Hann window. */
function lowPass(factor, reach) {
  if (!filters.has(factor)) {
    const weights = Float64Array.from({ length: 2 * reach + 1 }, (_, n) => {
      const turn = (Math.PI * 0.84 * (n - reach)) / factor;
      return (turn ? Math.sin(turn) / turn : 1) * Math.cos((Math.PI * (n - reach)) / (2 * reach + 2)) ** 2;
    });
    const sum = weights.reduce((all, weight) => all + weight, 0);
    filters.set(factor, weights.map((weight) => weight / sum));
  }
  return filters.get(factor);
}

/** Samples without what lies below the lowest pitch: a filter of the first order, forwards and back. */
function withoutRumble(samples, rate) {
  const mean = samples.reduce((sum, sample) => sum + sample, 0) / samples.length;
  const share = Math.exp((-2 * Math.PI * RUMBLE) / 2 / rate);
  const result = samples.map((sample) => sample - mean);
  for (const way of [1, -1]) {
    let slow = 0;
    for (let i = 0; i < result.length; i++) {
      const n = way > 0 ? i : result.length - 1 - i;
      slow = share * slow + (1 - share) * result[n];
      result[n] -= slow;
    }
  }
  return result;
}

function rms(samples) {
  return Math.sqrt(samples.reduce((sum, sample) => sum + sample * sample, 0) / samples.length);
}

/** The period in samples and how clear it is: the first of the high peaks of the normalised autocorrelation. */
function periodOf(samples, rate) {
  const curve = normalised(samples, Math.ceil(rate / LOWEST) + 2);
  const peaks = peaksOf(curve).filter(({ period }) => period >= rate / HIGHEST);
  const highest = Math.max(...peaks.map(({ clear }) => clear));
  const near = NEAR_HIGHEST * highest;
  const nearer = Math.max(near, highest - Math.max(NEARER.least, NEARER.missing * (1 - highest)));
  return peaks.find(({ period, clear }) => clear >= (period > NEARER.samples ? nearer : near)) ?? null;
}

/** The normalised square difference function up to a lag: 2 r / m of the paper, between -1 and 1. */
function normalised(samples, lags) {
  const size = 2 ** Math.ceil(Math.log2(samples.length + lags));
  const real = new Float64Array(size);
  const imaginary = new Float64Array(size);
  real.set(samples);
  transform(real, imaginary);
  for (let n = 0; n < size; n++) {
    real[n] = real[n] ** 2 + imaginary[n] ** 2;
    imaginary[n] = 0;
  }
  transform(real, imaginary);
  let both = (2 * real[0]) / size;
  const { length } = samples;
  return Float64Array.from({ length: lags }, (_, lag) => {
    if (lag) both -= samples[lag - 1] ** 2 + samples[length - lag] ** 2;
    return both > 0 ? (2 * real[lag]) / size / both : 0;
  });
}

/** The highest point of each hill above 0 after the first one, as it lies between samples. */
function peaksOf(curve) {
  const found = [];
  let top = 0; // of the hill that begins where the curve rises above 0
  let isAbove = true; // the first hill is that of lag 0
  for (let lag = 1; lag < curve.length - 1; lag++) {
    if (curve[lag] > 0 && !isAbove) {
      isAbove = true;
      top = lag;
    } else if (curve[lag] <= 0) {
      if (top) found.push(between(curve, top));
      isAbove = false;
      top = 0;
    } else if (top && curve[lag] > curve[top]) {
      top = lag;
    }
  }
  if (top && top < curve.length - 2) found.push(between(curve, top));
  return found;
}

/** The top of the parabola through a point and its neighbours. */
function between(curve, lag) {
  const [left, middle, right] = [curve[lag - 1], curve[lag], curve[lag + 1]];
  const bend = left - 2 * middle + right;
  const shift = bend < 0 ? Math.max(-1, Math.min(1, (left - right) / (2 * bend))) : 0;
  return { period: lag + shift, clear: middle - ((left - right) * shift) / 4 };
}
