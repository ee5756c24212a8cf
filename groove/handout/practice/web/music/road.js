// The bars of the track, with their metres, tempi and places on the road. A form that goes round has
// equal bars; a road has a setting for each, lines that are played some times, and sections in them.
// Bars are counted from 0, ticks from the first bar.

import { secondsPerTick } from "./time.js";
import { say } from "./words.js";

const MOST_SIGNS = 6;
const CLOSE = 1e-6; // ticks

/** The road with the ticks of its bar lines, and its rounds and passes as objects; made once. */
function mapped(road) {
  if (road.lineTicks) return road;
  let tick = 0;
  road.lineTicks = road.bars.map((number) => (tick += road.settings[number].barTicks));
  road.lineTicks.unshift(0);
  road.rounds = road.rounds.map(([first, last, line, moved]) => ({ first, last, line, moved }));
  road.passes = road.passes.map(([first, last, round, name, letter, key, minor, lyrics]) => ({
    first, last, round, name, letter, key, minor, lyrics,
  }));
  for (const round of road.rounds) {
    const same = road.rounds.filter(({ line }) => line === round.line);
    Object.assign(round, { time: same.indexOf(round), end: same.at(-1).last, start: same[0].first });
    round.passes = road.passes.filter((pass) => road.rounds[pass.round] === round);
    round.words = wordsOf(road, round);
  }
  return road;
}

/** The name of a line that has none of its own: those of its sections. */
export function lineName(passes) {
  return [...new Set(passes.map((pass) => pass.name))].join(", ");
}

/** A time round a line in words: "solos 2 of 3"; its sections where the line has no name. */
function wordsOf(road, { line, time, passes }) {
  const { name, times } = road.lines[line];
  const said = name || lineName(passes);
  return times > 1 ? say("road.time", { line: said, time: time + 1, times }) : said;
}

/** The road of a track, null if its form goes round. */
export function roadOf(track) {
  return track.road ? mapped(track.road) : null;
}

/** The tick at which a bar begins; after the last bar that of the end. */
export function barLine(track, bar) {
  return track.road ? roadOf(track).lineTicks[bar] : bar * track.barTicks;
}

/** The bar that a tick lies in: -1 before the first, on a road the last after its end. */
export function barAt(track, tick) {
  if (!track.road) return Math.floor(tick / track.barTicks);
  const { lineTicks, bars } = roadOf(track);
  let low = -1;
  let high = bars.length - 1;
  while (low < high) {
    const middle = Math.ceil((low + high) / 2);
    if (lineTicks[middle] <= tick) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** The setting of a bar: meter, beats, barTicks, beatTicks and swing. */
export function settingOf(track, bar) {
  if (!track.road) return track;
  const { bars, settings } = track.road;
  return settings[bars[Math.max(0, Math.min(bars.length - 1, bar))]];
}

/** Whether the metre of the road changes. */
export function hasSeveralMeters({ road }) {
  return new Set(road.settings.map(({ meter }) => meter.join("/"))).size > 1;
}

/** The first beat at a tick or later. */
export function beatFrom(track, tick) {
  const bar = barAt(track, tick - CLOSE);
  if (bar < 0) return barLine(track, 0);
  const start = barLine(track, bar);
  const { beats, barTicks } = settingOf(track, bar);
  const beat = beats.find((at) => start + at >= tick - CLOSE);
  return beat === undefined ? start + barTicks : start + beat;
}

/**
 * The stretch of even tempo that a tick lies in: {share, until}; share: of home's ticks a minute.
 * course: of the ending of a form that goes round, else that of the road.
 */
export function tempoAt(track, tick, course = track.road?.course) {
  if (!course) return { share: 1, until: Infinity };
  let number = 0;
  while (number + 1 < course.length && course[number + 1][0] <= tick + CLOSE) number++;
  return { share: course[number][1], until: course[number + 1]?.[0] ?? Infinity };
}

/** Seconds from one tick to another where home goes at so many felt beats a minute; course: as above. */
export function secondsBetween(track, from, to, tempo, course = track.road?.course) {
  const perTick = secondsPerTick(track, tempo);
  let seconds = 0;
  for (let tick = from; tick < to - CLOSE; ) {
    const { share, until } = tempoAt(track, tick, course);
    const next = Math.min(to, until);
    seconds += ((next - tick) * perTick) / share;
    tick = next;
  }
  return seconds;
}

/** Whether a fermata holds the music at a tick, so that no beat is counted. */
export function isHeld(track, tick) {
  return track.road?.held.some(([from, to]) => from - CLOSE <= tick && tick < to - CLOSE) ?? false;
}

/** The time round a line in which a bar lies; null if the form goes round. */
export function roundAt(track, bar) {
  return roadOf(track)?.rounds.findLast(({ first }) => first <= Math.max(0, bar)) ?? null;
}

/** The section that is played in a bar; null if the form goes round. */
export function passAt(track, bar) {
  return roadOf(track)?.passes.findLast(({ first }) => first <= Math.max(0, bar)) ?? null;
}

/** A place of the road in words: "solos 2 of 3, B". */
export function placeInWords(track, bar) {
  const round = roundAt(track, bar);
  const pass = passAt(track, bar);
  const named = track.road.lines[round.line].name || round.passes.length === 1;
  return named && round.words !== pass.name ? say("road.place", { round: round.words, section: pass.name }) : pass.name;
}

/** The number of the key that home is moved to in a bar, where home is in a key. */
export function homeIn(track, key, bar) {
  return (key + (roundAt(track, bar)?.moved ?? 0)) % 12;
}

/** The tonic, on the line of fifths, of the key of a pass: tonic is that of home there. */
export function tonicOf(pass, tonic) {
  const fifths = tonic + pass.key;
  const signature = fifths - (pass.minor ? 3 : 0);
  if (signature > MOST_SIGNS) return fifths - 12;
  return signature < -MOST_SIGNS ? fifths + 12 : fifths;
}

/** The words for a key, from its tonic on the line of fifths. kind: "home" for that of the form, "major", "minor". */
export function keyName(track, tonic, kind = "home") {
  const names = track.keyNames[kind]; // C in the middle
  return names[tonic + (names.length - 1) / 2];
}

/** The key of a pass as it is read: "E♭ minor", and in home's key in its words: "E♭ blues". */
export function keyOfPass(track, pass, tonic) {
  const isHome = pass.key === 0 && pass.minor === track.minor;
  return keyName(track, tonicOf(pass, tonic), isHome ? "home" : pass.minor ? "minor" : "major");
}

/**
 * The bar that follows one; goesOn: the number of the open line that ends after its time round. It is
 * the number of bars of the road where that is over.
 */
export function barAfter(track, settings, bar, goesOn) {
  const round = roundAt(track, bar);
  if (round?.last === bar + 1) {
    if (goesOn === round.line) return round.end;
    if (goesRoundAfter(track, settings, bar, goesOn)) return Math.max(settings.from - 1, round.start);
  }
  return bar + 1 === settings.to ? settings.from - 1 : bar + 1;
}

/** Whether an open line goes round after a bar. */
export function goesRoundAfter(track, settings, bar, goesOn) {
  const round = roundAt(track, bar);
  return round?.end === bar + 1 && goesOn !== round.line && goesRound(track, settings, round);
}

/** Whether the line of a time round is open, and goes on until the student says. */
export function goesRound(track, settings, round) {
  if (!settings.waits || !track.road.lines[round.line].open) return false;
  const leadsOn = !settings.forEver || settings.from - 1 < round.start; // to the end, or to the top
  return settings.to > round.end || (settings.to === track.bars && leadsOn);
}

/** The beat and the tempo of a bar as musicians write them, where home goes at a tempo: "half = 80". */
export function tempoInWords(track, bar, tempo) {
  const { rate, beat, beatTicks } = settingOf(track, bar);
  return say(`road.tempo.${beat}`, { tempo: Math.round((tempo * rate * track.beatTicks) / beatTicks) });
}
