// MIDI and WAV files of the track as it is set, played through once by the same player.

import { Band, prepareBand } from "../sound/band.js";
import { bendsOf } from "../music/bends.js";
import { lateFrames } from "../sound/leveller.js";
import { midiFile } from "./midi_file.js";
import { lengthInWords, outline } from "../music/outline.js";
import { plainName } from "../music/names.js";
import { Player } from "../sound/player.js";
import { CLICK } from "../sound/playing.js";
import { barAt, barLine, homeIn, passAt, placeInWords, settingOf, tonicOf } from "../music/road.js";
import { chordIn, SOLO, tonicIn } from "../music/track.js";
import { wavFile } from "./wav_file.js";
import { say } from "../music/words.js";

const RATE = 44100;
const LONGEST_SECONDS = { MIDI: 3600, WAV: 1200 }; // a browser makes a whole WAV in its memory
const MOST_LATE = 1024; // frames
const STEP_SECONDS = 0.5;
const STAGES = { tuning: "tuning", counting: "counting", resting: "resting", landing: "ending" }; // and their markers

/** The settings for a file: the rounds that are set, each in its key and tempo as live, then the end. */
function forFile(settings) {
  const asked = settings.copy();
  asked.setMachine({ asked: false }); // every round counts as clean
  return Object.assign(asked, { forEver: false, waits: false });
}

/** Throws a RangeError, in words for the student, where a file would get too long. */
function checkLength(settings, kind) {
  const { seconds } = outline(settings);
  if (seconds <= LONGEST_SECONDS[kind]) return;
  const [asked, most] = [seconds, LONGEST_SECONDS[kind]].map(lengthInWords);
  throw new RangeError(say("file.too_long", { kind, length: asked, most }));
}

/** Every note and controller of the track as it is set, in seconds from the start; the player's marks; the end. */
export function playedNotes(settings) {
  const notes = [];
  const controls = [];
  const control = (part, number, value, at) => controls.push({ part, number, value, at });
  const silent = { strike() {}, control };
  const player = new Player(settings.track, silent, forFile(settings), (n) => notes.push(n));
  player.start(0);
  player.advance(Infinity);
  return { notes, controls, marks: player.marks, end: player.time };
}

/** The bytes of a MIDI file of the parts that are not silent. Throws a RangeError if it's too long. */
export function midiBytes(settings) {
  checkLength(settings, "MIDI");
  const { track } = settings;
  const { notes, controls, marks, end } = playedNotes(settings);
  const clicks = { ...track.parts[0], name: "click", channel: 9, reverb: 0 };
  const heard = (part) => settings.plays(part) && settings.loudness(part) > 0 && !settings.machine.alone;
  const bends = bendsOf(SOLO, notes.filter(({ part }) => part === SOLO), track.hand);
  const tuners = settings.tuningNote ? [track.tuningNote.part] : [];
  const changes = inTicks(marks);
  const places = changes.flatMap((mark, n) => placesOf(settings, mark, changes[n + 1]));
  const tick = (seconds) => {
    const before = changes.findLast((change) => change.time <= seconds + 1e-9);
    return before.at + (seconds - before.time) / before.perTick;
  };
  return midiFile({
    ...track,
    changes,
    meters: places.map(({ at, bar }) => ({ at, ...settingOf(track, bar) })),
    keys: places.map((place) => ({ at: place.at, ...keyOf(track, place) })),
    markers: places.filter(({ words }) => words !== null),
    chords: changes.flatMap((mark, n) => chordsOf(settings, mark, changes[n + 1])),
    end: tick(end),
    controls: [...controls, ...bends].map((control) => ({ ...control, at: tick(control.at) })),
    parts: [clicks, ...track.parts.filter((part) => heard(part.name)), ...tuners].map((part) => ({ ...part, ...track.files?.[part.name] })),
    notes: notes
      .filter((note) => note.part !== "click" || settings.loudness("click") > 0)
      .map((note) => ({
        ...note,
        part: note.part === "count-in" ? "click" : note.part,
        at: tick(note.at),
        length: tick(note.at + (note.seconds ?? CLICK.seconds)) - tick(note.at),
      })),
  });
}

/**
 * The places of the file at which something may begin, from a mark to the next: {at, bar, key, words}.
 * words: those of a marker, else null. On a road they are the bar lines.
 */
function placesOf(settings, { stage, tick, at, key, round }, after) {
  const { track } = settings;
  if (stage === "stopped") return [];
  if (stage !== "playing" || !track.road) {
    const isLanding = stage === "landing";
    const bar = isLanding ? track.bars - 1 : settings.from - 1;
    const goesOn = isLanding && tick > landingStart(track);
    const words = say(`file.markers.${STAGES[stage] ?? "round"}`, { number: round + 1 });
    return [{ at, bar, key, words: goesOn ? null : words }];
  }
  const places = [];
  for (let bar = barAt(track, tick); bar < track.bars && barLine(track, bar) - tick < after.at - at; bar++) {
    if (barLine(track, bar) < tick) continue;
    const words = passAt(track, bar).first === bar ? placeInWords(track, bar) : null;
    places.push({ at: at + barLine(track, bar) - tick, bar, key, words });
  }
  return places;
}

/** The tick at which the ending begins. */
function landingStart(track) {
  return track.road ? barLine(track, track.bars) : 0;
}

/** Sharps, flats below 0, and whether it is minor: the key at a place. */
function keyOf(track, { bar, key }) {
  const pass = passAt(track, bar);
  if (!pass) return { signature: track.keys[key].signature, minor: track.minor };
  const tonic = tonicOf(pass, tonicIn(track, homeIn(track, key, bar), track.readers[0][0]));
  return { signature: tonic - (pass.minor ? 3 : 0), minor: pass.minor };
}

/** The chord symbols from a mark to the next, in the sounding key. */
function chordsOf(settings, { stage, key, at, tick, chorus }, after) {
  const { track, from } = settings;
  const name = (number) => chordIn(track, number, key, track.readers[0][0], plainName).name.replaceAll("♯", "#").replaceAll("♭", "b");
  if (stage === "landing") {
    const begun = tick - landingStart(track);
    const here = track.keys[key].ending.filter(([start]) => begun <= start && start - begun < after.at - at);
    return here.map(([start, words]) => ({ at: at + start - begun, words }));
  }
  if (stage !== "playing") return [];
  const first = tick - barLine(track, chorus * track.bars);
  const end = first + after.at - at;
  const begins = first === barLine(track, from - 1); // a chord that sounds already is named there too
  return track.chords.flatMap(([start, length], number) => {
    if (start + length <= first || start >= end || (start < first && !begins)) return [];
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
  const frames = Math.ceil(seconds * RATE);
  const context = new OfflineAudioContext(2, frames + MOST_LATE, RATE);
  await prepareBand(context, sounds);
  const band = new Band(context, settings.track, sounds, (part) => settings.loudness(part));
  const player = new Player(settings.track, band, forFile(settings));
  player.start(0);
  keepAheadOffline(context, player, seconds, tell);
  return from(await context.startRendering(), lateFrames(context), frames);
}

/** So many frames of a buffer from one of them on. */
function from(buffer, first, frames) {
  const { numberOfChannels, sampleRate } = buffer;
  const cut = new AudioBuffer({ numberOfChannels, sampleRate, length: frames });
  for (let side = 0; side < numberOfChannels; side++) {
    cut.copyToChannel(buffer.getChannelData(side).subarray(first, first + frames), side);
  }
  return cut;
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
  const info = { INAM: say("file.wav_title", { title: settings.track.title, key, tempo: settings.tempo }), ICMT: credit, ISFT: "groove" };
  return wavFile(await renderTrack(settings, sounds, tell), info);
}

/** A file name that sorts and reads well: the program's own for the title, then key, tempo, bars, and how it changes. */
export function fileName(settings, ending) {
  const { track, key, tempo, from, to, faster, nextKey, rounds, machine } = settings;
  const changes = rounds > 1 && (faster !== 0 || nextKey !== "stay");
  const words = [
    track.stem,
    track.keys[key].sign.replaceAll("♯", say("file.name.sharp")).replaceAll("♭", say("file.name.flat")),
    tempo,
    settings.wholeForm ? null : say("file.name.bars", { from, to }),
    changes && nextKey !== "stay" ? say(`file.name.${nextKey}`) : null,
    changes && faster ? say(`file.name.${faster > 0 ? "faster" : "slower"}`, { step: Math.abs(faster) }) : null,
    changes ? say("file.name.rounds", { number: rounds }) : null,
    machine.turns ? say("file.name.turns", machine) : null,
    machine.rest && rounds > 1 ? say("file.name.rest", machine) : null,
    machine.alone ? say("file.name.alone") : null,
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
