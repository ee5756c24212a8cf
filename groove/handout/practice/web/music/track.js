// The track's data: notes of each part in each key, chords of each bar, lines of the chart.

import { noteName, rootName } from "./names.js";
import { barAt, barLine, secondsBetween, settingOf } from "./road.js";
import { numbersIn, rowsOf } from "./streams.js";

/** The parts whose notes ring as they will, however long they are written. */
export const STRUCK = new Set(["drums", "percussion"]);
const BARS_A_LINE = 4; // of a road

/** The notes of a stream, in order: {at, length, pitch, velocity, touch}, in ticks. */
export function notesOf(track, number) {
  track.unpacked ??= new Map();
  if (!track.unpacked.has(number)) {
    const rows = rowsOf(track.streams, number);
    track.unpacked.set(number, rows.map(([at, length, pitch, velocity, touch]) => ({ at, length, pitch, velocity, touch })));
  }
  return track.unpacked.get(number);
}

/** The part of which the student chooses what it plays. */
export const SOLO = "solo";
export const OFF = "off";
export const SLIDE = "slide";
/** How a note is joined to the one before; none is a stroke. */
export const JOINS = ["", "hammer", "pull", SLIDE];

/** What a solo may play: nothing, or what every key has for it. */
export function solosOf(track) {
  return [OFF, ...Object.keys(track.keys[0].solo ?? {})];
}

/** The notes of a solo in a key, with string and fret, some with a gesture: see `bentCourse` in bends.js. */
function soloNotes(track, key, what) {
  if (what === OFF) return [];
  const [stream, hand, tab] = track.keys[key].solo[what];
  track.played ??= new Map();
  const name = `${stream} ${hand} ${tab}`;
  if (!track.played.has(name)) {
    const gestures = gesturesIn(track.gestures[hand]);
    const places = [...numbersIn(track.tabs[tab])];
    // as solo.py writes them
    const placed = (n) => ({ string: places[n] & 7, fret: (places[n] & 255) >> 3, joined: JOINS[places[n] >> 8] });
    track.played.set(name, notesOf(track, stream).map((note, n) => ({ ...note, ...placed(n), gesture: gestures.get(n) })));
  }
  return track.played.get(name);
}

/** The gestures in a text, by the number of their note: solo.py says how they are written. */
function gesturesIn(text) {
  const numbers = [...numbersIn(text)];
  const found = new Map();
  let number = 0;
  for (let n = 0; n < numbers.length; n += 6) {
    const [further, halves, released, comes, goes, shaken] = numbers.slice(n, n + 6);
    number += further;
    found.set(number, { bend: halves / 2, released, comes, goes, shaken });
  }
  return found;
}

/**
 * The notes that a part plays in a key, round and round or at the landing; on a road both are one.
 * solo: what a solo plays.
 */
export function partNotes(track, key, part, kind = "round", solo = OFF) {
  if (part === SOLO) return kind === "landing" && !track.road ? [] : soloNotes(track, key, solo);
  return notesOf(track, track.keys[key][track.road ? "round" : kind][part]);
}

/** The program of a part at a tick: its instrument, which may change on a road. */
export function programAt({ program, programs }, tick) {
  return programs?.findLast(([from]) => from <= tick)?.[1] ?? program;
}

/** The name of the sound of a part that plays a program. */
export function soundOf(part, program) {
  return program === part.program ? part.name : `${part.name} ${program}`;
}

/** The number of the first note at or after a tick. */
export function firstFrom(notes, tick) {
  let low = 0;
  let high = notes.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (notes[middle].at < tick) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The guide in a key as an instrument reads it: the lesson sheet's words. */
export function guideIn(track, key, written) {
  return track.guides[track.keys[key].written[written][0]];
}

/** The readers that the chart is written for, in words; null for concert pitch, the first choice. */
export function readerIn(track, written) {
  return written === track.readers[0][0] ? null : new Map(track.readers).get(written);
}

/** The tonic of a key as an instrument reads it, on the line of fifths. */
export function tonicIn(track, key, written) {
  return track.keys[key].written[written][1];
}

/**
 * A chord of the chart as an instrument reads it: its name, whole and in its parts, its tones, its
 * entry of the guide and the titles of the scales for the whole form. nameOf: gives the name of a root.
 */
export function chordIn(track, number, key, written, nameOf = rootName) {
  const [, , , qualityNumber, , distinct, mark, moved = 0] = track.chords[number];
  const quality = track.qualities[qualityNumber];
  const home = (key + moved) % 12; // on a road, of the line
  const { chords, whole } = guideIn(track, home, written);
  const guide = chords[distinct];
  const { root, bass } = guide;
  const rest = quality.suffix + (bass === null ? "" : `/${nameOf(bass)}`);
  const parts = marked(nameOf(root), rest, mark);
  return {
    distinct,
    key: home,
    quality: qualityNumber,
    root,
    name: parts.join(""),
    parts,
    tones: quality.tones.map(([fifths, degree]) => ({
      fifths: root + fifths,
      name: noteName(root + fifths),
      degree,
    })),
    guide,
    whole,
  };
}

/** A chord's name with its mark, as its root and the rest: N.C. in its place, * for the root alone, ~ before a push. */
function marked(root, rest, mark) {
  if (mark === "N.C.") return [mark, ""];
  return mark === "*" ? [root, "*"] : [mark + root, rest];
}

/** The chords of each bar: a list of {number, at, length} in ticks from the bar line. */
export function chordsByBar(track) {
  const bars = Array.from({ length: track.bars }, () => []);
  track.chords.forEach(([start, length], number) => {
    for (let bar = barAt(track, start); bar < track.bars && barLine(track, bar) < start + length; bar++) {
      const line = barLine(track, bar);
      const from = Math.max(start, line);
      const to = Math.min(start + length, barLine(track, bar + 1));
      bars[bar].push({ number, at: from - line, length: to - from });
    }
  });
  return bars;
}

/**
 * The lines of the written chart: lists of {bar, share, section}. share: of the line's width. section:
 * the name of the one that begins with the bar, else null. On a road those of some passes.
 */
export function chartLines(track, passes = []) {
  if (track.road) return passes.flatMap(linesOfPass);
  const names = new Map(track.sections.map(([name, bar]) => [bar, name]));
  let bar = 0;
  return track.lines.map((shares) =>
    shares.map((share) => {
      bar += 1;
      return { bar, share, section: names.get(bar) ?? null };
    }),
  );
}

function linesOfPass({ first, last, name }) {
  const lines = [];
  for (let bar = first; bar < last; bar += BARS_A_LINE) {
    const size = Math.min(BARS_A_LINE, last - bar);
    lines.push(
      Array.from({ length: size }, (_, n) => ({
        bar: bar + n + 1,
        share: 1 / BARS_A_LINE,
        section: n === 0 && bar === first ? name : null,
      })),
    );
  }
  return lines;
}

/** The notes to tune by in a key, which is its tonic's pitch class: {pitch, velocity, after, seconds}, with `after` from the first on. */
export function tuningNotes(track, key) {
  const { a, tonicFrom, velocity, seconds } = track.tuningNote;
  return [a, tonicFrom + key].map((pitch, n) => ({ pitch, velocity, after: n * seconds[0], seconds: seconds[1] }));
}

/** The ticks of the whole bars that the notes to tune by and the silence after them take, before a bar. */
export function tuningTicks(track, tempo, bar = 0) {
  const [step, , silence] = track.tuningNote.seconds;
  const { barTicks } = settingOf(track, bar);
  const start = barLine(track, bar);
  const seconds = barTicks * secondsBetween(track, start, start + 1, tempo);
  return barTicks * Math.ceil((2 * step + silence) / seconds - 1e-9);
}

/** Whether two chords of the chart, by their numbers, are the same in a key, however they are marked. */
export function isSameChord(track, one, other) {
  const [, , , , , distinct, , moved = 0] = track.chords[one];
  const [, , , , , otherDistinct, , otherMoved = 0] = track.chords[other];
  return distinct === otherDistinct && moved === otherMoved;
}

/** The number of the chord that sounds at a tick of the chorus. */
export function chordAt(track, tick) {
  for (let n = track.chords.length - 1; n > 0; n--) if (track.chords[n][0] <= tick) return n;
  return 0;
}
