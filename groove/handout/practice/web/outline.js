// How long a track is that goes round as it is set, where it begins and where it ends.

const RING_SECONDS = 2.5; // after the last bar, until the last sound has died away

/** Seconds with what rings on; key and tempo of the first round and of the last. */
export function outline(settings) {
  const { track, rounds, from, to, countIn, wholeForm } = settings;
  const going = settings.copy();
  const bar = () => (60 * track.beats) / going.tempo;
  const here = () => ({ key: going.key, tempo: going.tempo });
  const first = here();
  let seconds = (countIn ? bar() : 0) + (to + 1 - from) * bar();
  for (let round = 1; round < rounds; round++) {
    going.roundOver();
    seconds += (to + 1 - from) * bar();
  }
  return { seconds: seconds + (wholeForm ? bar() : 0) + RING_SECONDS, first, last: here() };
}

/** A length as musicians write it: "3:07". */
export function lengthInWords(seconds) {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
