// A plucked string made in the browser: notes of a phrase are heard at once, without the band's sounds.

import { Audition } from "../../practice/sound/audition.js";

const LOUDNESS = 0.4;
const RINGS = 3; // seconds that a string rings on at most
const DAMPED = 0.06; // seconds in which a finger stops it
const LOSS = 0.996; // that goes on at each turn of the string
const BRIGHT = 0.6; // of the pluck at full velocity
const PART = "string";
const LOUDEST = 127;
const A4 = { pitch: 69, hertz: 440 };

/** A string's sound: noise that goes round a delay as long as its wave, darker at each turn (Karplus and Strong, 1983). */
function plucked(context, hertz, brightness) {
  const { sampleRate } = context;
  const turn = sampleRate / hertz;
  const size = Math.max(2, Math.floor(turn - 0.5));
  const part = turn - 0.5 - size; // of a sample that the wave is longer
  const samples = new Float32Array(Math.round(RINGS * sampleRate));
  let seed = 1;
  let soft = 0;
  for (let n = 0; n < size + 1; n++) {
    seed = (seed * 16807) % 2147483647; // the same pluck each time
    soft += brightness * ((2 * seed) / 2147483647 - 1 - soft);
    samples[n] = soft;
  }
  const wave = (n) => (1 - part) * samples[n] + part * (samples[n - 1] ?? 0);
  for (let n = size + 2; n < samples.length; n++) samples[n] = LOSS * 0.5 * (wave(n - size) + wave(n - size - 1));
  const buffer = context.createBuffer(1, samples.length, sampleRate);
  buffer.copyToChannel(samples, 0);
  return buffer;
}

/** Strings in the place of a band: what an audition strikes. */
class Strings {
  channels = new Map([[PART, {}]]);
  #made = new Map();
  #ringing = new Set();

  constructor(context) {
    this.context = context;
    this.output = context.createGain();
    this.output.gain.value = LOUDNESS;
    this.output.connect(context.destination);
  }

  double(name) {
    this.channels.set(name, {});
  }

  strike(_part, pitch, velocity, at, seconds, _sound, _trim, course) {
    const { context } = this;
    if (!this.#made.has(pitch)) this.#made.set(pitch, plucked(context, A4.hertz * 2 ** ((pitch - A4.pitch) / 12), BRIGHT));
    const source = context.createBufferSource();
    source.buffer = this.#made.get(pitch);
    course.forEach(([after, cents], n) => source.detune[n ? "linearRampToValueAtTime" : "setValueAtTime"](cents, at + after));
    const gain = context.createGain();
    gain.gain.value = (velocity / LOUDEST) ** 2;
    gain.gain.setTargetAtTime(0, at + seconds, DAMPED / 3);
    source.connect(gain).connect(this.output);
    source.start(at);
    source.stop(at + Math.min(RINGS, seconds + 3 * DAMPED));
    this.#ringing.add(source);
    source.onended = () => this.#ringing.delete(source);
  }

  silence() {
    for (const source of this.#ringing) source.stop();
    this.#ringing.clear();
  }

  takeBack() {}
}

export class PluckedStrings {
  #audition = null;

  /** The audition that plays; null before the first note or where the browser has no sound. */
  get audition() {
    return this.#audition;
  }

  /**
   * Plays some notes once, as an audition has them. sound: the metre, swing and tempo, and how a hand bends. done:
   * called at the end. Returns false where the browser can't play.
   */
  play(notes, sound, done = () => {}) {
    if (!this.#audition && !this.#open()) return false;
    const settings = { track: sound, tempo: sound.tempo, key: 0 };
    this.#audition.settings = settings;
    this.#audition.play(notes, { part: PART, tempo: sound.tempo, done });
    return true;
  }

  hush() {
    this.#audition?.hush();
  }

  /** The notes that are heard now. */
  sounding() {
    return this.#audition?.sounding() ?? [];
  }

  #open() {
    try {
      const context = new AudioContext({ latencyHint: "interactive" });
      const band = new Strings(context);
      const stage = { context, band, player: null, late: context.outputLatency ?? 0, use: () => context.resume(), leave: () => {} };
      this.#audition = new Audition(stage, {});
      return true;
    } catch {
      return false;
    }
  }
}
