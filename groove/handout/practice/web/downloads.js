// MIDI and WAV files of the track as it is set, played through once by the same player.

import { Band } from "./band.js";
import { midiFile } from "./midi_file.js";
import { lengthInWords, outline } from "./outline.js";
import { CLICK, Player } from "./player.js";
import { barTicks, chordIn } from "./track.js";
import { wavFile } from "./wav_file.js";

const RATE = 44100;
const LONGEST_SECONDS = { MIDI: 3600, WAV: 1200 }; // a browser makes a whole WAV in its memory
const STEP_SECONDS = 0.5;
const STAGES = { tuning: "Tuning note", counting: "Count-in", landing: "Ending" };

/** The settings for a file: the rounds that are set, each in its key and tempo as live, then the end. */
function forFile(settings) {
  return Object.assign(settings.copy(), { forEver: false });
}

/** Throws a RangeError, in words for the student, where a file would get too long. */
function checkLength(settings, kind) {
  const { seconds } = outline(settings);
  if (seconds <= LONGEST_SECONDS[kind]) return;
  const [asked, most] = [seconds, LONGEST_SECONDS[kind]].map(lengthInWords);
  throw new RangeError(`A ${kind} file of ${asked} is too long; up to ${most} is possible. Fewer rounds?`);
}

/** Every note of the track as it is set, in seconds from the start; the player's marks; the end. */
export function playedNotes(settings) {
  const notes = [];
  const silent = { strike() {} };
  const player = new Player(settings.track, silent, forFile(settings), (n) => notes.push(n));
  player.start(0);
  player.advance(Infinity);
  return { notes, marks: player.marks, end: player.time };
}

/** The bytes of a MIDI file of the parts that are not silent. Throws a RangeError if it's too long. */
export function midiBytes(settings) {
  checkLength(settings, "MIDI");
  const { track } = settings;
  const { notes, marks, end } = playedNotes(settings);
  const clicks = { ...track.parts[0], name: "click", channel: 9, reverb: 0 };
  const heard = (part) => settings.loudness(part) > 0;
  const tuners = settings.tuningNote ? [track.tuningNote.part] : [];
  const changes = inTicks(marks);
  const tick = (seconds) => {
    const before = changes.findLast((change) => change.time <= seconds + 1e-9);
    return before.at + (seconds - before.time) / before.perTick;
  };
  return midiFile({
    ...track,
    changes: changes.map(({ at, key, tempo }) => ({ at, tempo, signature: track.keys[key].signature })),
    markers: changes.filter(({ stage }) => stage !== "stopped").map((mark) => ({ at: mark.at, words: markerOf(mark) })),
    chords: changes.flatMap((mark) => chordsOf(settings, mark)),
    end: tick(end),
    parts: [clicks, ...track.parts.filter((part) => heard(part.name)), ...tuners],
    notes: notes
      .filter((note) => note.part !== "click" || heard("click"))
      .map((note) => ({
        ...note,
        part: note.part === "count-in" ? "click" : note.part,
        at: tick(note.at),
        length: tick(note.at + (note.seconds ?? CLICK.seconds)) - tick(note.at),
      })),
  });
}

function markerOf({ stage, round }) {
  return STAGES[stage] ?? `Chorus ${round + 1}`;
}

/** The chord symbols of the bars that begin with a mark, in the sounding key. */
function chordsOf(settings, { stage, key, at }) {
  const { track, from, to } = settings;
  const name = (number) => chordIn(track, number, key, track.readers[0][0]).name.replaceAll("♯", "#").replaceAll("♭", "b");
  if (stage === "landing") return [{ at, words: track.keys[key].endsOn }];
  if (stage !== "playing") return [];
  const [first, end] = [(from - 1) * barTicks(track), to * barTicks(track)];
  return track.chords.flatMap(([start, length], number) => {
    if (start + length <= first || start >= end) return [];
    return [{ at: at + Math.max(0, start - first), words: name(number) }];
  });
}

/** The player's marks with their ticks in the file. */
function inTicks(marks) {
  let at = 0;
  return marks.map((mark, number) => {
    const before = marks[number - 1];
    if (before) at += Math.round((mark.time - before.time) / before.perTick);
    return { ...mark, at };
  });
}

/**
 * The sound of the track as it is set, as an audio buffer. tell: called with the share done, 0 to 1.
 * Throws a RangeError if it's too long.
 */
export async function renderTrack(settings, sounds, tell = () => {}) {
  checkLength(settings, "WAV");
  const { seconds } = outline(settings);
  const context = new OfflineAudioContext(2, Math.ceil(seconds * RATE), RATE);
  const band = new Band(context, settings.track, sounds, (part) => settings.loudness(part));
  const player = new Player(settings.track, band, forFile(settings));
  player.start(0);
  keepAheadOffline(context, player, seconds, tell);
  return context.startRendering();
}

/**
 * Hands the notes on a little at a time: handed on at once, all of them would be computed all the
 * time. A browser that can't pause for it takes that time.
 */
function keepAheadOffline(context, player, seconds, tell) {
  if (!context.suspend) {
    player.advance(seconds);
    return;
  }
  const step = async () => {
    player.advance(context.currentTime + 2 * STEP_SECONDS);
    tell(context.currentTime / seconds);
    const next = context.currentTime + STEP_SECONDS;
    if (next < seconds) context.suspend(next).then(step);
    if (context.state === "suspended" && context.currentTime > 0) await context.resume();
  };
  step();
}

/** The bytes of a WAV file of the track as it is set. credit: the page's line on sounds and music. */
export async function wavBytes(settings, sounds, credit, tell) {
  const key = settings.track.keys[settings.key].sign;
  const info = { INAM: `${settings.track.title} in ${key}, ${settings.tempo}`, ICMT: credit, ISFT: "groove" };
  return wavFile(await renderTrack(settings, sounds, tell), info);
}

/** A file name that sorts and reads well: the program's own for the title, then key, tempo, bars, and how it changes. */
export function fileName(settings, ending) {
  const { track, key, tempo, from, to, faster, nextKey, rounds } = settings;
  const changes = rounds > 1 && (faster !== 0 || nextKey !== "stay");
  const words = [
    track.stem,
    track.keys[key].name.replace("#", "-sharp").replace("b", "-flat"),
    tempo,
    settings.wholeForm ? null : `bars-${from}-${to}`,
    changes && nextKey !== "stay" ? nextKey : null,
    changes && faster ? `${faster > 0 ? "faster" : "slower"}-by-${Math.abs(faster)}` : null,
    changes ? `${rounds}-rounds` : null,
  ];
  return `${words.filter((word) => word !== null).join("_")}.${ending}`;
}

/** Hands a file to the student. */
export function handOver(bytes, type, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([bytes], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
