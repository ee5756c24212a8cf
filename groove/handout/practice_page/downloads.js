// What can be taken away: the track as it is set, played through once by the same player.

import { Band } from "./band.js";
import { midiFile } from "./midi_file.js";
import { Player } from "./player.js";
import { secondsPerTick } from "./time.js";
import { wavFile } from "./wav_file.js";

const RATE = 44100;
const LONGEST_SECONDS = 3600;
const STEP_SECONDS = 0.5;
const RING_SECONDS = 2.5; // after the last bar, until the last sound has died away

/** What is set now, played through once: no round changes key or tempo. */
function onceThrough(settings) {
  const { track, key, tempo, from, to, countIn, rounds } = settings;
  return { track, key, tempo, from, to, countIn, rounds, forEver: false, roundOver() {} };
}

/** Every note of the track as it is set, in seconds from the start, and the end. */
export function playedNotes(settings) {
  const notes = [];
  const silent = { strike() {}, silence() {} };
  const player = new Player(settings.track, silent, onceThrough(settings), (n) => notes.push(n));
  player.start(0);
  player.advance(LONGEST_SECONDS);
  return { notes: notes.filter((note) => note.part), end: player.time };
}

/** The bytes of a MIDI file of the parts that are not silent. */
export function midiBytes(settings) {
  const { track, key, tempo } = settings;
  const { notes, end } = playedNotes(settings);
  const perTick = secondsPerTick(track, tempo);
  const clicks = { ...track.parts[0], name: "click", channel: 9, reverb: 0 };
  const heard = (part) => settings.loudness(part) > 0;
  return midiFile({
    ...track,
    tempo,
    signature: track.keys[key].signature,
    end: end / perTick,
    parts: [clicks, ...track.parts.filter((part) => heard(part.name))],
    notes: notes
      .filter((note) => note.part !== "click" || heard("click"))
      .map((note) => ({
        ...note,
        part: note.part === "count-in" ? "click" : note.part,
        at: note.at / perTick,
        length: (note.seconds ?? 0.1) / perTick,
      })),
  });
}

/** The sound of the track as it is set, as an audio buffer. */
export async function renderTrack(settings, sounds) {
  const wishes = onceThrough(settings);
  const { end } = playedNotes(settings);
  const seconds = Math.min(LONGEST_SECONDS, end + RING_SECONDS);
  const context = new OfflineAudioContext(2, Math.ceil(seconds * RATE), RATE);
  const band = new Band(context, settings.track, sounds, (part) => settings.loudness(part));
  const player = new Player(settings.track, band, wishes);
  player.start(0);
  keepAheadOffline(context, player, seconds);
  return context.startRendering();
}

/**
 * Hands the notes on a little at a time: all at once, they would all be computed all the time. A
 * browser that can't pause for it takes that time.
 */
function keepAheadOffline(context, player, seconds) {
  if (!context.suspend) {
    player.advance(seconds);
    return;
  }
  const step = async () => {
    player.advance(context.currentTime + 2 * STEP_SECONDS);
    const next = context.currentTime + STEP_SECONDS;
    if (next < seconds) context.suspend(next).then(step);
    if (context.state === "suspended" && context.currentTime > 0) await context.resume();
  };
  step();
}

/** The bytes of a WAV file of the track as it is set. */
export async function wavBytes(settings, sounds) {
  return wavFile(await renderTrack(settings, sounds));
}

/** A file name that sorts and reads well: title, key, tempo, bars. */
export function fileName(settings, ending) {
  const plain = (text) => text.normalize("NFKD").toLowerCase().match(/[a-z0-9]+/g)?.join("-");
  const key = settings.track.keys[settings.key].name.replace("#", "-sharp").replace("b", "-flat");
  const bars = settings.wholeForm ? "" : `_bars-${settings.from}-${settings.to}`;
  return `${plain(settings.track.title) ?? "track"}_${key}_${settings.tempo}${bars}.${ending}`;
}

/** Hands a file to the student. */
export function handOver(bytes, type, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([bytes], { type }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}
