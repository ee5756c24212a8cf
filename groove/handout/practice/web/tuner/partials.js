// The exact pitch of a tone whose frequency is known roughly: its partials are found one after another, and
// the series of a stiff string is laid through them, whose partial n lies at n f √(1 + B n²) (Fletcher 1964,
// from memory). So a tone without its lowest partial has its pitch too.

import { powers } from "./fourier.js";

const MOST = 12; // partials
const BAND = 0.43; // of the rate: above it the filter before takes partials away
const ROUGH_CENTS = 45; // by which the frequency that is known may be wrong
const FINE_CENTS = 14; // the same once partials are found
const OVER_NOISE = 20; // a partial's power, in medians of what lies around it
const BINS_AROUND = 12; // at least
const PEAK_BINS = 5; // on each side of a partial's place
const MODEL_CENTS = 0.4; // by which a partial is off its series
const NOISE_CENTS = 900; // by which a partial of power 1 over noise would be off, times hertz a bin over its frequency
const STIFFNESS_CENTS = 0.12; // usual difference of a partial to the next, over the difference of n²: guitars and basses
const FAR_OFF = 4; // spreads: such a peak is none of the tone's
const CENTS = 1200;

/** The frequency of a tone's first partial, sounding or not, in hertz, from what is roughly so. */
export function hertzOfPartials(samples, rate, rough) {
  const windowed = samples.map((sample, n) => sample * Math.sin((Math.PI * (n + 0.5)) / samples.length) ** 2);
  const power = powers(windowed, 2 * 2 ** Math.ceil(Math.log2(samples.length)));
  const sound = { windowed, power, rate, rough, bin: rate / 2 / (power.length - 1), wide: rate / samples.length };
  const count = Math.min(MOST, Math.floor((BAND * rate) / rough));
  const numbers = Array.from({ length: count }, (_, n) => n + 1);
  const first = strongest(numbers.map((number) => partialNear(sound, number, 0, ROUGH_CENTS)));
  if (!first) return rough;
  let found = [first];
  let line = lineThrough(found);
  const near = (number) => Math.abs(number - first.number);
  for (const number of numbers.filter((one) => one !== first.number).sort((one, other) => near(one) - near(other))) {
    const partial = partialNear(sound, number, line.cents + line.stiff * number ** 2, FINE_CENTS);
    if (!partial) continue;
    found.push(partial);
    line = lineThrough(found);
  }
  const off = ({ number, cents, weight }) => Math.abs(cents - line.cents - line.stiff * number ** 2) * Math.sqrt(weight);
  found = found.filter((partial) => off(partial) < FAR_OFF);
  if (found.length) line = lineThrough(found);
  return rough * 2 ** ((line.cents + line.stiff) / CENTS);
}

function strongest(partials) {
  return partials.reduce((best, one) => (one && !(best?.power > one.power) ? one : best), null);
}

/** A partial of a sound near the cents where it is expected: {number, cents, weight, power}; null for none. */
function partialNear({ windowed, power, rate, rough, bin, wide }, number, cents, reach) {
  const expected = number * rough * 2 ** (cents / CENTS);
  const peak = peakNear(power, expected / bin, (expected * (2 ** (reach / CENTS) - 1) + wide / 2) / bin);
  if (!peak) return null;
  const over = peak.power / noiseAround(power, peak.at, (0.45 * rough) / bin);
  if (!(over > OVER_NOISE)) return null;
  const hertz = exact(windowed, rate, peak.at * bin, bin);
  const spread = ((NOISE_CENTS * wide) / hertz) ** 2 / over + MODEL_CENTS ** 2;
  return { number, cents: CENTS * Math.log2(hertz / (number * rough)), weight: 1 / spread, power: peak.power };
}

/** The highest power within a reach of a place, in bins, if it is a peak. */
function peakNear(power, place, reach) {
  const first = Math.max(1, Math.ceil(place - reach));
  const last = Math.min(power.length - 2, Math.floor(place + reach));
  let at = first;
  for (let n = first; n <= last; n++) if (power[n] > power[at]) at = n;
  if (first > last || power[at] < power[at - 1] || power[at] < power[at + 1]) return null;
  return { at, power: power[at] };
}

/** The median power around a peak, without the peak itself. */
function noiseAround(power, at, reach) {
  const around = [];
  const far = Math.max(BINS_AROUND, reach);
  for (let n = Math.max(0, Math.floor(at - far)); n <= Math.min(power.length - 1, at + far); n++) {
    if (Math.abs(n - at) > PEAK_BINS) around.push(power[n]);
  }
  return around.sort((one, other) => one - other)[around.length >> 1] || 1e-30;
}

/** The frequency of a peak in hertz, between bins: parabolas through the logarithms of three powers, twice. */
function exact(windowed, rate, hertz, bin) {
  let step = bin;
  let found = hertz;
  for (let round = 0; round < 2; round++) {
    const [left, middle, right] = [-step, 0, step].map((far) => Math.log(powerAt(windowed, rate, found + far)));
    const bend = left - 2 * middle + right;
    if (bend < 0) found += step * Math.max(-1, Math.min(1, (left - right) / (2 * bend)));
    step /= 2;
  }
  return found;
}

/** The power of one frequency of some samples (Goertzel 1958). */
function powerAt(samples, rate, hertz) {
  const turn = 2 * Math.cos((2 * Math.PI * hertz) / rate);
  let last = 0;
  let before = 0;
  for (let n = 0; n < samples.length; n++) {
    const next = samples[n] + turn * last - before;
    before = last;
    last = next;
  }
  return last * last + before * before - turn * last * before;
}

/**
 * Cents and stiffness of the line cents + stiff n² through some partials, by weighted least squares;
 * the stiffness is drawn to 0 as strongly as strings usually have it, and is never below.
 */
function lineThrough(found) {
  const sum = (of) => found.reduce((all, one) => all + one.weight * of(one), 0);
  const weight = sum(() => 1);
  const meanSquare = sum(({ number }) => number ** 2) / weight;
  const mean = sum(({ cents }) => cents) / weight;
  const both = sum(({ number, cents }) => (number ** 2 - meanSquare) * (cents - mean));
  const squares = sum(({ number }) => (number ** 2 - meanSquare) ** 2);
  const stiff = Math.max(0, both / (squares + 1 / STIFFNESS_CENTS ** 2));
  return { cents: mean - stiff * meanSquare, stiff };
}
