// Written lines, as licks and the teacher's phrases: their notes with places on a neck, and how they are played.

import { numbersIn } from "./streams.js";
import { JOINS, SLIDE } from "./track.js";

const STRINGS = 16; // how places and gestures are written in the data
const BENDS = 4;
const RELEASES = 32;
const VELOCITY = { stroke: 92, joined: 72 };

/** The notes of a line: texts of its times and of its places above a lowest fret, on a neck with some open strings. */
export function lineNotes(timesText, tabText, low, strings) {
  const times = [...numbersIn(timesText)];
  const numbers = [...numbersIn(tabText)];
  let at = 0;
  const notes = times.filter((_, n) => n % 2).map((length, n) => {
    const [place, hand] = numbers.slice(2 * n);
    at += times[2 * n];
    const string = place % STRINGS;
    const fret = low + Math.floor(place / STRINGS);
    const joined = JOINS[hand % BENDS];
    const gesture = { bend: Math.floor((hand % RELEASES) / BENDS) / 2, released: hand >= RELEASES };
    if (place < 0) return { at, length, pitch: -place, joined, gesture };
    return { at, length, pitch: strings.at(-string) + fret, string, fret, joined, gesture };
  });
  const joinedAt = new Map(notes.filter(({ joined }) => joined).map((note) => [note.at, note.joined]));
  return notes.map((note) => ({ ...note, joined: joinedAt.get(note.at) ?? "" })); // all of a double stop
}

/** The same notes as they are played: with velocities and whole gestures, some semitones higher. */
export function playedLine(notes, beatTicks, up = 0) {
  return notes.map((note) => {
    const { at: after } = notes.find((other) => other.at > note.at) ?? {};
    const next = notes.find((other) => other.at === after && other.string === note.string);
    const goes = next?.joined === SLIDE && !note.gesture.bend ? next.pitch - note.pitch : 0;
    const gesture = { ...note.gesture, comes: 0, goes, shaken: note.length >= beatTicks };
    return { ...note, pitch: note.pitch + up, velocity: note.joined ? VELOCITY.joined : VELOCITY.stroke, gesture };
  });
}
