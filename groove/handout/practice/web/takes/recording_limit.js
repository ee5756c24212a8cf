// The limiter of a mix that is saved: lowers what is over a level as the one does that is heard, ahead of the
// stroke, and looks through the whole mix first.

/** Frames of a slice, which gets one gain at its end. */
export const SLICE = 64;
const AHEAD = 3; // slices
const DOWN = 1000; // decibels a second
const BACK = 60;

/** The highest sample of each slice. sides: arrays of samples. */
export function peaksOf(sides) {
  const peaks = new Float32Array(Math.ceil(sides[0].length / SLICE));
  for (const side of sides) {
    for (let i = 0; i < side.length; i++) {
      const size = Math.abs(side[i]);
      const slice = Math.floor(i / SLICE);
      if (size > peaks[slice]) peaks[slice] = size;
    }
  }
  return peaks;
}

/** The gain at the start of each slice and at the end of the last, for peaks that stay under a level. */
export function gainsFor(peaks, level, rate) {
  const [down, back] = [DOWN, BACK].map((speed) => (speed * SLICE) / rate);
  let before = 0;
  const over = Float32Array.from(peaks, (peak) => {
    before = Math.max(peak > level ? 20 * Math.log10(peak / level) : 0, before - back, 0);
    return before;
  });
  const lowered = Float32Array.from(over, (_, n) => {
    let most = 0;
    for (let k = 0; k <= AHEAD && n + k < over.length; k++) most = Math.max(most, over[n + k] - k * down);
    return most;
  });
  return Float32Array.from({ length: peaks.length + 1 }, (_, n) => {
    const most = Math.max(lowered[n - 1] ?? 0, lowered[n] ?? 0);
    return most > 0 ? 10 ** (-most / 20) : 1;
  });
}

/** Samples with gains that go from slice to slice; the first of them begins slice number `first`. */
export function lowered(samples, gains, first) {
  const found = new Float32Array(samples.length);
  for (let i = 0; i < found.length; i++) {
    const slice = first + Math.floor(i / SLICE);
    const part = (i % SLICE) / SLICE;
    found[i] = samples[i] * (gains[slice] + (gains[slice + 1] - gains[slice]) * part);
  }
  return found;
}
