// The tone of a note: the softer it is, the darker; equal ones differ by a little. The program's own
// figures, in cents, come with the sounds.

const LOUDEST = 127; // velocity
const OPEN = 13500; // cents above 8.176 Hz: the corner of an open filter
const NOTE_0_HERTZ = 8.1758;
/**
 * How a note is played: by how many cents its filter is closed, and how many cents it is high. set: its
 * sound's. turn: how many times it was played before.
 */
export function beginning({ tones, ways }, pitch, velocity, turn) {
  const [darker, bend, shade] = tones?.[pitch] ?? tones?.other ?? [0, 0, 0];
  const [high, dark] = ways[turn % ways.length]; // no two neighbours are alike
  return { closed: (darker * (LOUDEST - velocity)) / LOUDEST + shade * dark, cents: bend * high };
}

/**
 * The corner in hertz of a filter behind one that is closed already by so many cents, so that both
 * together take 3 dB where a single one would that is closed by `closed` cents. Infinity for none.
 */
export function cornerBehind(closed, already) {
  const open = OPEN - closed >= OPEN - already;
  if (open) return Infinity;
  const [corner, first] = [closed, already].map((cents) => NOTE_0_HERTZ * 2 ** ((OPEN - cents) / 1200));
  return corner / (2 / (1 + (corner / first) ** 4) - 1) ** 0.25;
}
