// A Standard MIDI File, format 1 (Standard MIDI Files 1.0, RP-001, from memory): a conductor track,
// then a track for each part. The notes are those of the player, written in ticks.

import { BEND } from "../music/bends.js";

const VOLUME = 7;
const PLACE = 10;
const ROOM = 91;
const BEND_RANGE = [[101, 0], [100, 0], [6, 2], [38, 0], [101, 127], [100, 127]]; // two semitones, as the program sets it
const LOUDEST = 127;
const DRUMS = 9; // a channel of which the pitch is never tuned

/**
 * The bytes of a file. changes: [{at, perTick}], the first at 0: seconds of a tick from a tick on.
 * meters: [{at, meter, beatTicks}]. keys: [{at, signature, minor}], flats below 0. markers, chords: [{at, words}]. notes: [{part, at, length,
 * pitch, velocity, program}], program where it may change. All times are in ticks from the start. parts: name, program, channel, volume, pan,
 * reverb of each, all counted from 0; velocity, if any, a factor of the velocities of its notes. tuning: [[controller, value]] that tunes a channel, empty if A
 * has its usual 440 Hz. controls: [{part, at, number, value}], pitch bends among them, see bends.js.
 */
export function midiFile(file) {
  const { title, changes, meters, keys, markers, chords, quarterTicks, tuning, end, parts, notes, controls } = file;
  const conductor = [
    [0, meta(0x03, text(title))],
    ...onlyNew(meters, ({ meter, beatTicks }) => meta(0x58, [meter[0], Math.log2(meter[1]), (24 * beatTicks) / quarterTicks, 8])),
    ...onlyNew(changes, ({ perTick }) => meta(0x51, big(Math.round(perTick * quarterTicks * 1e6), 3))),
    ...onlyNew(keys, ({ signature, minor }) => meta(0x59, [signature & 255, minor ? 1 : 0])),
    ...markers.map(({ at, words }) => [at, meta(0x06, text(words))]),
    ...chords.map(({ at, words }) => [at, meta(0x01, text(words))]),
  ];
  const tracks = [conductor, ...parts.map((part) => partEvents(part, notes, controls, tuning))];
  const header = [...text("MThd"), ...big(6, 4), ...big(1, 2), ...big(tracks.length, 2), ...big(quarterTicks, 2)];
  return Uint8Array.from([...header, ...tracks.flatMap((events) => chunk(events, end))]);
}

/** The events of some changes, without those that repeat the one before. */
function onlyNew(changes, event) {
  const events = changes.map((change) => [change.at, event(change)]);
  return events.filter(([, bytes], n) => n === 0 || String(bytes) !== String(events[n - 1][1]));
}

function partEvents(part, notes, controls, tuning) {
  const { channel } = part;
  const mine = notes.filter((note) => note.part === part.name);
  const programs = mine.filter((note) => note.program !== undefined).map(({ at, program }) => ({ at: Math.max(0, Math.round(at)), program }));
  const events = [
    [0, meta(0x03, text(part.name))],
    ...onlyNew([{ at: 0, program: programs[0]?.program ?? part.program }, ...programs], ({ program }) => [0xc0 | channel, program]),
    [0, [0xb0 | channel, VOLUME, part.volume]],
    [0, [0xb0 | channel, PLACE, part.pan]],
    [0, [0xb0 | channel, ROOM, part.reverb]],
    ...(channel === DRUMS ? [] : tuning.map((setting) => [0, [0xb0 | channel, ...setting]])),
  ];
  const done = controls.filter((control) => control.part === part.name);
  if (done.some(({ number }) => number === BEND)) {
    events.push(...BEND_RANGE.map((setting) => [0, [0xb0 | channel, ...setting]]));
  }
  for (const { at, number, value } of done) {
    const bent = value + 8192;
    const message = number === BEND ? [0xe0 | channel, bent & 127, bent >> 7] : [0xb0 | channel, number, value];
    events.push([Math.max(0, Math.round(at)), message]);
  }
  const struck = (velocity) => Math.max(1, Math.min(LOUDEST, Math.round(velocity * (part.velocity ?? 1))));
  for (const note of withoutOverlap(mine)) {
    events.push([note.at, [0x90 | channel, note.pitch, struck(note.velocity)], 2]);
    events.push([note.at + note.length, [0x80 | channel, note.pitch, 0], 1]);
  }
  return events;
}

/** The notes in whole ticks, each cut where its pitch is struck again. */
function withoutOverlap(notes) {
  const free = new Map();
  const kept = [];
  for (const note of [...notes].sort((a, b) => b.at - a.at)) {
    const at = Math.max(0, Math.round(note.at));
    const length = Math.min(Math.max(1, Math.round(note.length)), (free.get(note.pitch) ?? Infinity) - at);
    if (length < 1) continue;
    free.set(note.pitch, at);
    kept.push({ ...note, at, length });
  }
  return kept;
}

function chunk(events, end) {
  const ordered = events.sort((a, b) => a[0] - b[0] || (a[2] ?? 0) - (b[2] ?? 0));
  const bytes = [];
  let now = 0;
  for (const [at, message] of ordered) {
    bytes.push(...variable(at - now), ...message);
    now = at;
  }
  bytes.push(...variable(Math.max(0, Math.round(end) - now)), ...meta(0x2f, []));
  return [...text("MTrk"), ...big(bytes.length, 4), ...bytes];
}

function meta(type, data) {
  return [0xff, type, ...variable(data.length), ...data];
}

function variable(number) {
  const bytes = [number & 127];
  while ((number >>= 7)) bytes.unshift((number & 127) | 128);
  return bytes;
}

function big(number, size) {
  return Array.from({ length: size }, (_, i) => (number >>> (8 * (size - 1 - i))) & 255);
}

/** Text in UTF-8, as in the program's own MIDI files. */
function text(words) {
  return [...new TextEncoder().encode(words)];
}
