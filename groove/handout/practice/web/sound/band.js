// The band in one audio context, live or offline: a channel for each part, a room, a limiter.

import { Channel } from "./channel.js";
import { leveller, prepareLevellers } from "./leveller.js";
import { nearestNote } from "./sounds.js";
import { beginning, cornerBehind } from "./tone.js";
import { STRUCK } from "../music/track.js";

const CEILING = 10 ** (-1.1 / 20); // true peaks stay under it: -1 dB is promised, and meters differ a little
const STRUCK_RELEASE_SECONDS = 0.006;
const USUAL_RELEASE_SECONDS = 0.06;
const USUAL_A4 = 440; // hertz, to which the sounds are recorded
const BUTTERWORTH_DB = -3.01;
/** Notes of which one ends the others: hats, whistles, guiros, cuicas, triangles (General MIDI 2, from memory). */
const CHOKES = [[42, 44, 46], [71, 72], [73, 74], [78, 79], [80, 81]];
const TOGETHER_SECONDS = 0.015; // strokes that come so close don't end one another
const SILENT_AFTER = 6; // release constants: a note is then 52 dB down
/** The parts that are no players of the band: they are struck on the kit of the drums. */
const CLICKS = ["click", "count-in"];

const UNDER_SPEECH = 0.6; // of the band's level: 4.4 dB less
const YIELD_SECONDS = 0.05;

const rooms = new WeakMap();

/** Makes a context ready for a band; sounds: the result of decodeSounds. */
export async function prepareBand(context, sounds) {
  await prepareLevellers(context);
  const room = sounds.room?.notes[0];
  if (!room) return;
  const { sampleRate } = context; // a room has to be of the context's own rate
  const length = Math.ceil(room.buffer.duration * sampleRate);
  const offline = new OfflineAudioContext(2, length, sampleRate);
  const source = offline.createBufferSource();
  const gain = offline.createGain();
  source.buffer = room.buffer;
  gain.gain.value = room.gain * (room.buffer.sampleRate / sampleRate);
  source.connect(gain).connect(offline.destination);
  source.start();
  rooms.set(context, await offline.startRendering());
}

export class Band {
  /**
   * context: an audio context, live or offline, that was prepared. track: its parts give the mix.
   * sounds: the result of decodeSounds. loudness: a function from a part's name to its loudness at
   * first; 1 is its place in the mix.
   */
  constructor(context, track, sounds, loudness) {
    Object.assign(this, { context, track, sounds, voices: new Set(), ringing: new Map(), struck: new Map() });
    this.tuned = track.a4 / USUAL_A4;
    const limiter = leveller(context, { level: CEILING, share: 1, isTrue: true });
    /** The node that all of it comes from, as it is heard but for the voice that it yields to. */
    this.output = limiter.output;
    this.voiced = context.createGain();
    this.output.connect(this.voiced).connect(context.destination);
    this.mixed = limiter.input;
    const room = (this.room = this.#room(limiter.input));
    const clicks = CLICKS.map((name) => ({ ...track.clicks, name }));
    const tuning = track.tuningNote ? [track.tuningNote.part] : [];
    const parts = [...track.parts, ...clicks, ...tuning];
    this.channels = new Map(
      parts.map((part) => [part.name, new Channel(context, part, loudness(part.name), limiter.input, room)]),
    );
    for (const { name } of parts) this.#input(name, this.soundOf(name)); // each is made before it plays
    for (const name of Object.keys(sounds)) {
      const part = parts.find((one) => name.startsWith(`${one.name} `));
      if (part) this.#input(part.name, name);
    }
    /** The nodes whose gain is the loudness that the student sets. */
    this.buses = Object.fromEntries(parts.map(({ name }) => [name, this.channels.get(name).fader]));
  }

  /** Makes the whole band softer while a voice speaks, or as loud as before. */
  yieldTo(speaks) {
    this.voiced.gain.setTargetAtTime(speaks ? UNDER_SPEECH : 1, this.context.currentTime, YIELD_SECONDS);
  }

  /** Adds a part that sounds as another one does, on a channel of its own, unless it is there. */
  double(name, of, loudness = 1) {
    if (this.channels.has(name)) return;
    const part = { ...this.channels.get(of).part, name };
    this.channels.set(name, new Channel(this.context, part, loudness, this.mixed, this.room));
    this.buses[name] = this.channels.get(name).fader;
  }

  #room(out) {
    const buffer = rooms.get(this.context);
    if (!buffer) return null;
    const room = this.context.createConvolver();
    room.normalize = false;
    room.buffer = buffer;
    Object.assign(room, { channelCount: 1, channelCountMode: "explicit" });
    room.connect(out);
    return room;
  }

  /** The name of the sound of a part that is asked for: clicks are sounds of the drums. */
  soundOf(name) {
    return name in this.sounds ? name : "drums";
  }

  /** The node that a part plays a sound to. */
  #input(part, name) {
    const kind = CLICKS.includes(part) ? {} : this.sounds[name]?.kind;
    return this.channels.get(part).input(name, kind);
  }

  /** Sets how loud a part is from now on. */
  setLoudness(part, loudness) {
    this.buses[part].gain.setTargetAtTime(loudness ** 2, this.context.currentTime, 0.008);
  }

  /**
   * Sounds a note of a part from a time on, in seconds of the context, for so many seconds. sound: the
   * name of its sound. trim: a factor of its level. course: how its pitch moves, as `bentCourse` of bends.js
   * has it.
   */
  strike(part, pitch, velocity, at, seconds, sound = part, trim = 1, course = []) {
    const name = this.soundOf(sound);
    const set = this.sounds[name];
    const channel = this.channels.get(part);
    const kit = name === "drums" || STRUCK.has(part);
    const turn = this.#turn(part, pitch);
    const note = nearestNote(set.notes, pitch, velocity, turn);
    if (!note) return;
    const { closed, cents } = beginning(set, pitch, velocity, turn);
    const source = this.context.createBufferSource();
    source.buffer = note.buffer;
    const rate = kit ? 1 : this.tuned * 2 ** ((pitch - note.pitch) / 12);
    source.playbackRate.value = rate * 2 ** ((cents - note.cents) / 1200);
    channel.vibrato?.connect(source.detune);
    course.forEach(([after, bent], n) => {
      if (n) source.detune.linearRampToValueAtTime(bent, at + after);
      else source.detune.setValueAtTime(bent, at + after);
    });
    const gain = this.context.createGain();
    gain.gain.value = trim * note.gain * (this.#played(channel.part, pitch, velocity) / note.hard) ** 2;
    if (note.loop) {
      Object.assign(source, { loop: true, loopStart: note.loop.start, loopEnd: note.loop.end });
      const { start, decay } = note.loop; // the loop itself doesn't decay
      if (decay && start / rate < seconds) gain.gain.setTargetAtTime(0, at + start / rate, 1 / decay);
    }
    const last = this.#filtered(source, cornerBehind(closed, note.closed));
    last.connect(gain).connect(this.#input(part, name));
    const release = kit ? STRUCK_RELEASE_SECONDS : set.release ?? USUAL_RELEASE_SECONDS;
    const voice = { source, gain, part, at, pitch, release };
    source.start(at);
    if (!kit) this.#release(voice, at + seconds);
    if (part === "drums") this.#choke(voice);
    this.voices.add(voice);
    source.onended = () => {
      this.voices.delete(voice);
      gain.disconnect();
    };
  }

  /** The number of times that a pitch of a part was struck before. */
  #turn(part, pitch) {
    const name = `${part} ${pitch}`;
    const turn = this.struck.get(name) ?? 0;
    this.struck.set(name, turn + 1);
    return turn;
  }

  /** Counts a stroke that is left out, so that those after it sound as if it had been played. */
  passOver(part, pitch, times = 1) {
    this.struck.set(`${part} ${pitch}`, (this.struck.get(`${part} ${pitch}`) ?? 0) + times);
  }

  /** The velocity that sets the loudness of a written one, as in the program's own mix. */
  #played({ weight = 1, trims = {} }, pitch, velocity) {
    const hard = (velocity / 127) ** weight * 10 ** ((trims[pitch] ?? 0) / 40);
    return Math.max(1, Math.min(127, Math.round(127 * hard)));
  }

  /** A source behind a low-pass filter with its corner at so many hertz, where that is heard. */
  #filtered(source, corner) {
    if (corner >= 0.45 * this.context.sampleRate) return source;
    const filter = this.context.createBiquadFilter();
    filter.frequency.value = corner;
    filter.Q.value = BUTTERWORTH_DB;
    return source.connect(filter);
  }

  /** Ends the strokes that a stroke of the kit ends, as a closed hat an open one. */
  #choke(voice) {
    const group = CHOKES.find((notes) => notes.includes(voice.pitch));
    if (!group) return;
    const ringing = this.ringing.get(group) ?? [];
    const ended = ringing.filter(({ pitch, at }) => pitch !== voice.pitch && voice.at - at >= TOGETHER_SECONDS);
    for (const other of ended) this.#release(other, Math.max(voice.at, other.at));
    const left = ringing.filter((other) => !ended.includes(other) && this.voices.has(other));
    this.ringing.set(group, [...left, voice]);
  }

  /** Ends a voice from a time on, in its release. */
  #release(voice, at) {
    voice.gain.gain.setTargetAtTime(0, at, voice.release);
    voice.source.stop(at + SILENT_AFTER * voice.release);
  }

  /** Carries out a MIDI controller on a part at a time. */
  control(part, number, value, at) {
    this.channels.get(part).control(number, value, at);
  }

  /** Takes back the notes of some parts that begin at a time or later. */
  takeBack(parts, at) {
    for (const part of parts) this.channels.get(part)?.takeBack(at);
    for (const voice of [...this.voices]) {
      if (!parts.includes(voice.part) || voice.at < at) continue;
      voice.source.onended = null;
      voice.source.stop();
      voice.source.disconnect();
      this.voices.delete(voice);
    }
  }

  /** Takes back the notes of some parts from a time on, and ends those that sound then. */
  silence(parts, at = this.context.currentTime) {
    this.takeBack(parts, at);
    for (const voice of this.voices) {
      if (!parts.includes(voice.part)) continue;
      voice.gain.gain.cancelScheduledValues(at);
      this.#release(voice, at);
    }
  }
}
