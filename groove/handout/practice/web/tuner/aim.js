// Finds the string or the note that a pitch is meant to be, and by how many cents it is off.

const USUAL_A = 69; // MIDI
const OCTAVE = 1200; // cents
const HARMONIC_COST = 150; // cents: a harmonic is meant only where no string is near
const HARMONIC_REACH = 100; // cents: what is further from a harmonic is none
const STAYS = 30; // cents by which another aim must be nearer

/** The frequency of a MIDI pitch in hertz. */
export function hertzOf(pitch, a4) {
  return a4 * 2 ** ((pitch - USUAL_A) / 12);
}

/** The cents of a frequency above a MIDI pitch. */
function centsAbove(hertz, pitch, a4) {
  return OCTAVE * Math.log2(hertz / hertzOf(pitch, a4));
}

/** The note that is nearest: {pitch, cents}; before: the pitch that was meant until now, or null. */
export function noteNear(hertz, a4, before = null) {
  const nearest = Math.round(USUAL_A + 12 * Math.log2(hertz / a4));
  const pitch = before !== null && Math.abs(centsAbove(hertz, before, a4)) < 50 + STAYS / 2 ? before : nearest;
  return { pitch, cents: centsAbove(hertz, pitch, a4) };
}

/**
 * The string that is nearest: {string, pitch, cents, isOctave}, string counted from 0 in `pitches`. Its harmonic
 * over fret 12 may sound in its place: isOctave; cents are from that then. before: the string that was meant
 * until now, or null. fixed: the only one that is meant, or null.
 */
export function stringNear(hertz, pitches, a4, { before = null, fixed = null } = {}) {
  const aims = pitches.flatMap((pitch, string) => {
    const cents = centsAbove(hertz, pitch, a4);
    const stays = string === before ? STAYS : 0;
    const over = cents - OCTAVE;
    const open = { string, pitch, cents, isOctave: false, cost: Math.abs(cents) - stays };
    const harmonic = { string, pitch, cents: over, isOctave: true, cost: Math.abs(over) + HARMONIC_COST - stays };
    return Math.abs(over) <= HARMONIC_REACH ? [open, harmonic] : [open];
  });
  const possible = fixed === null ? aims : aims.filter(({ string }) => string === fixed);
  const { cost, ...best } = possible.reduce((least, aim) => (aim.cost < least.cost ? aim : least));
  return best;
}
