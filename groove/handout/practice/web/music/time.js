// Musical time: ticks, beats, seconds, and the swing that a tempo asks for.

/** Seconds of a tick at so many felt beats a minute. */
export function secondsPerTick(track, tempo) {
  return 60 / tempo / track.beatTicks;
}

/** Long part of the beat to the short one at a tempo, between the entries of the table. */
export function swingRatio(swing, tempo) {
  const place = (tempo - swing.from) / swing.step;
  const low = Math.max(0, Math.min(swing.ratios.length - 2, Math.floor(place)));
  const part = Math.max(0, Math.min(1, place - low));
  return swing.ratios[low] + (swing.ratios[low + 1] - swing.ratios[low]) * part;
}

/**
 * A tick that is written with the swing of the form's own tempo, moved to where another ratio has
 * it. Whole units, counted from a start, stay where they are.
 */
export function swung(swing, tick, ratio, start = 0) {
  if (ratio === swing.written) return tick;
  const written = (swing.unit * swing.written) / (1 + swing.written);
  const wanted = (swing.unit * ratio) / (1 + ratio);
  const part = (tick - start) % swing.unit;
  const moved =
    part <= written
      ? (part * wanted) / written
      : wanted + ((part - written) * (swing.unit - wanted)) / (swing.unit - written);
  return tick - part + moved;
}

/** Seconds of a touch, in tenths of a millisecond; strokes that come faster stray less. */
export function touchSeconds(track, touch, tempo) {
  return (touch / 10000) * Math.min(1, track.tempo / tempo);
}
