// Notes to tune by: exact pitches that have the partials of the band's own recorded notes, struck softly
// again and again until they are stopped.

import { hertzOf } from "./aim.js";
import { powers } from "./fourier.js";
import { SOLO } from "../music/track.js";

const PARTIALS = 24;
const HIGHEST_HERTZ = 6000; // of a partial
const LISTENED_SECONDS = [0.15, 0.5]; // of a recorded note, after the stroke itself
const SIZE = 32768; // samples that are transformed
const RECORDED_A4 = 440;
const NEAR = 0.03; // share of its frequency by which a recorded partial may be off
const PEAK = 0.16; // full scale is 1
const RINGS_ON = 0.3; // of the peak, until the next stroke
const RISES_SECONDS = 0.015;
const FALLS_SECONDS = 0.6; // to a share of 1/e
const EVERY_SECONDS = 2.4;
const ENDS_SECONDS = 0.04;
const LEAD_SECONDS = 0.05;
const KIT_CHANNEL = 9;
const OTHER_FAMILY = 12; // semitones: a bass sounds as a bass as long as that is no further off
const DRIVEN = 4; // semitones: the amplifier of a solo may bend its sound

export class TuningNotes {
  /** track: the page's data. sounds: a function that returns the decoded sounds, null until they are ready. */
  constructor(track, sounds) {
    Object.assign(this, { track, sounds, pitch: null });
  }

  /** Sounds a MIDI pitch until it is stopped; instrument: the one that is tuned, undefined for none. */
  start(pitch, instrument) {
    this.stop();
    if (!this.sounds()) return;
    this.pitch = pitch;
    this.context = new AudioContext();
    this.tone = toneOf(this.context, this.track, this.sounds(), pitch, instrument);
    this.next = this.context.currentTime + LEAD_SECONDS;
    this.tone.source.start(this.next);
    this.#strike();
    this.timer = setInterval(() => this.#strike(), (1000 * EVERY_SECONDS) / 4);
  }

  stop() {
    if (this.pitch === null) return;
    const { context, tone } = this;
    this.pitch = null;
    clearInterval(this.timer);
    tone.level.gain.cancelScheduledValues(0);
    tone.level.gain.setTargetAtTime(0, context.currentTime, ENDS_SECONDS);
    setTimeout(() => context.close(), 8000 * ENDS_SECONDS);
  }

  /** Plans the next stroke, if it comes soon. */
  #strike() {
    const { currentTime } = this.context;
    if (this.next > currentTime + EVERY_SECONDS / 2) return;
    this.next = Math.max(this.next, currentTime);
    struck(this.tone, this.next);
    this.next += EVERY_SECONDS;
  }
}

/** A tone of a context, silent before its first stroke: {source, level}; source is to be started. */
export function toneOf(context, track, sounds, pitch, instrument) {
  const hertz = hertzOf(pitch, track.a4);
  const partials = partialsOf(nearest(track, sounds, pitch, instrument), HIGHEST_HERTZ / hertz);
  const source = context.createOscillator();
  source.frequency.value = hertz;
  source.setPeriodicWave(context.createPeriodicWave(new Float32Array(partials.length), partials));
  const level = context.createGain();
  level.gain.value = 0;
  source.connect(level).connect(context.destination);
  return { source, level };
}

/** Strikes a tone at a time of its context. */
export function struck({ level }, at) {
  level.gain.setTargetAtTime(PEAK, at, RISES_SECONDS);
  level.gain.setTargetAtTime(RINGS_ON * PEAK, at + 5 * RISES_SECONDS, FALLS_SECONDS);
}

/** The recorded note of the band that is nearest to a pitch, of the same family of instruments rather. */
function nearest(track, sounds, pitch, instrument) {
  const far = (name, note) =>
    Math.abs(note.pitch - pitch) + ((name === "bass") !== (instrument === "bass") ? OTHER_FAMILY : 0) + (name === SOLO ? DRIVEN : 0);
  const pitched = track.parts.filter(({ channel }) => channel !== KIT_CHANNEL);
  const notes = pitched.flatMap(({ name }) => (sounds[name]?.notes ?? []).map((note) => [far(name, note), note]));
  const [, found] = notes.reduce((best, one) => (one[0] < best[0] ? one : best));
  return found;
}

/** The strengths of a recorded note's partials from the first on, as many as are wanted at most, behind a 0. */
function partialsOf({ buffer, pitch }, most) {
  const { sampleRate } = buffer;
  const [first, last] = LISTENED_SECONDS.map((seconds) => Math.round(seconds * sampleRate));
  const samples = buffer.getChannelData(0).slice(first, Math.min(last, first + SIZE));
  const power = powers(samples.map((sample, n) => sample * Math.sin((Math.PI * n) / samples.length) ** 2), SIZE);
  const bin = (hertzOf(pitch, RECORDED_A4) * SIZE) / sampleRate;
  const count = Math.max(1, Math.floor(Math.min(PARTIALS, most, power.length / bin - 1)));
  const strongest = (number) => Math.max(...power.subarray(Math.floor(number * bin * (1 - NEAR)), Math.ceil(number * bin * (1 + NEAR)) + 1));
  return Float32Array.from({ length: count + 1 }, (_, number) => (number ? Math.sqrt(strongest(number)) : 0));
}
