// The moves of a soloist's left hand while a note sounds: bends, slides and vibrato, as the program has them.

/** In the place of a MIDI controller's number: the pitch bend, its value -8192 to 8191. */
export const BEND = 128;
const RANGE_CENTS = 200;
const FULL = 8191;
const ARRIVED = 0.85; // the share of its time after which a slide has arrived
const STEP_SECONDS = 0.008; // from one pitch bend to the next, at least

/**
 * The points between which the pitch of a note moves in straight lines: [seconds from its start, cents
 * from its pitch]; none if it stays. gesture: {bend, released, comes, goes, shaken}, distances in
 * semitones. hand: the figures of the track's data.
 */
export function bentCourse({ bend, released, comes, goes, shaken }, seconds, hand) {
  const points = [];
  const slide = Math.min(hand.slide, seconds / 3);
  const move = (at, takes, start, end) => {
    points.push([at, start]);
    for (const [time, way] of hand.way) points.push([at + takes * time, start + (end - start) * way]);
  };
  if (comes) move(0, slide, 100 * comes, 0);
  if (bend) {
    const [, usual] = hand.bends.findLast(([least]) => least <= bend);
    const takes = Math.min(usual, hand.most * seconds);
    const at = Math.min(hand.waits, takes);
    move(at, takes, 0, 100 * bend);
    if (released) {
      const back = Math.max(at + takes, hand.back * seconds);
      move(back, Math.min(hand.down, (seconds - back) / 2), 100 * bend, 0);
    }
  } else if (shaken) {
    points.push(...vibrato(seconds, hand));
  }
  if (goes) move(seconds - slide, ARRIVED * slide, 0, 100 * goes);
  return points;
}

function vibrato(seconds, { vibrato: figures, turn }) {
  if (seconds < figures.seconds) return [];
  const long = 1 / figures.hertz;
  const points = [[figures.after, 0]];
  let depth = figures.cents / 2; // the first turn is narrow
  for (let at = figures.after; at + long <= seconds; at += long) {
    for (const [time, share] of turn) points.push([at + long * time, depth * share]);
    depth = figures.cents;
  }
  return points;
}

/**
 * The pitch bends of a part's notes, as a MIDI channel has them: {part, at, number, value}, in seconds.
 * Notes that begin together bend together. notes: {at, seconds, gesture}, in order of time.
 */
export function bendsOf(part, notes, hand) {
  const found = [];
  notes.forEach((note, n) => {
    if (!note.gesture || note.at === notes[n - 1]?.at) return;
    const end = note.at + note.seconds;
    const last = notes.find((other) => other.at > note.at)?.at ?? end;
    const bends = values(bentCourse(note.gesture, note.seconds, hand))
      .map(([seconds, value]) => ({ part, at: note.at + seconds, number: BEND, value }))
      .filter(({ at }) => at < last);
    if (bends.at(-1)?.value) bends.push({ part, at: Math.min(end + hand.rings, last), number: BEND, value: 0 });
    found.push(...bends);
  });
  return found;
}

/** Seconds and values of the pitch bends that follow a course, each unlike the last. */
function values(points) {
  const found = [];
  let last = 0;
  points.forEach((after, n) => {
    const before = points[n - 1] ?? after;
    const steps = Math.max(1, Math.floor((after[0] - before[0]) / STEP_SECONDS));
    for (let step = 1; step <= steps; step++) {
      const [seconds, cents] = before.map((from, axis) => from + ((after[axis] - from) * step) / steps);
      const value = Math.max(-FULL - 1, Math.min(FULL, Math.round((cents / RANGE_CENTS) * (FULL + 1))));
      if (value === last) continue;
      found.push([seconds, value]);
      last = value;
    }
  });
  return found;
}
