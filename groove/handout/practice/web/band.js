// The band in one audio context, live or offline: a bus for each part, a reverb, a soft limiter.

import { nearestNote } from "./sounds.js";
import { STRUCK } from "./track.js";

const MASTER_GAIN = 6.5; // brings the synthesiser's level to that of posted music
const RELEASE_SECONDS = { bass: 0.035, drums: 0.02, percussion: 0.02, click: 0.02, "count-in": 0.02 };
const USUAL_RELEASE_SECONDS = 0.06;
const USUAL_A4 = 440; // hertz, to which the sounds are recorded
const SMALLEST_ROOM_SECONDS = 0.5; // until its echo is 60 dB down; the largest takes twice as long
const ROOM_LOUDNESS = 0.8; // the reverb's energy at its full level
const CHOKED_BY_HAT = new Set([42, 44, 46]); // closed, foot and open hi-hat are one instrument
const CEILING_FROM = 0.7; // full scale is 1; below this the sound is left as it is
const CEILING_REACH = 2; // what is louder than this comes out no louder
const SILENT_AFTER = 6; // release constants: a note is then 52 dB down

/** Controller values 0 to 127 as General MIDI means them: 40 log10 of the share, in decibels. */
function controllerGain(value) {
  return (value / 127) ** 2;
}

export class Band {
  /**
   * context: an audio context, live or offline. track: its parts give the mix. sounds: the result of
   * decodeSounds. loudness: a function from a part's name to its loudness at first; 1 is its place in
   * the mix.
   */
  constructor(context, track, sounds, loudness) {
    this.context = context;
    this.sounds = sounds;
    this.voices = new Set();
    this.hat = null;
    this.tuned = track.a4 / USUAL_A4;
    this.out = context.createGain();
    this.out.gain.value = MASTER_GAIN / CEILING_REACH;
    const ceiling = context.createWaveShaper();
    ceiling.curve = CEILING;
    this.out.connect(ceiling).connect(context.destination);
    const room = context.createConvolver();
    room.normalize = false;
    room.buffer = roomBuffer(context.sampleRate, track.room);
    room.connect(this.out);
    this.buses = {};
    const clicks = ["click", "count-in"].map((name) => ({ name, volume: 110, pan: 64, reverb: 0 }));
    const tuning = track.tuningNote ? [track.tuningNote.part] : [];
    for (const part of [...track.parts, ...clicks, ...tuning]) {
      this.buses[part.name] = this.#bus(part, room);
      this.buses[part.name].gain.value = loudness(part.name) ** 2;
    }
  }

  #bus(part, room) {
    const fader = this.context.createGain();
    const level = this.context.createGain();
    const place = this.context.createStereoPanner();
    const send = this.context.createGain();
    level.gain.value = controllerGain(part.volume);
    place.pan.value = Math.max(-1, Math.min(1, (part.pan - 64) / 63));
    send.gain.value = part.reverb / 127;
    fader.connect(level).connect(place).connect(this.out);
    place.connect(send).connect(room);
    return fader;
  }

  /** Sets how loud a part is from now on. */
  setLoudness(part, loudness) {
    this.buses[part].gain.setTargetAtTime(loudness ** 2, this.context.currentTime, 0.008);
  }

  /** Sounds a note of a part from a time on, in seconds of the context, for so many seconds. */
  strike(part, pitch, velocity, at, seconds, sound = part) {
    const own = sound in this.sounds; // clicks are sounds of the drums
    const kit = !own || STRUCK.has(part);
    const note = nearestNote(this.sounds[own ? sound : "drums"], pitch, velocity);
    if (!note) return;
    const source = this.context.createBufferSource();
    source.buffer = note.buffer;
    const rate = kit ? 1 : this.tuned * 2 ** ((pitch - note.pitch) / 12);
    source.playbackRate.value = rate;
    const gain = this.context.createGain();
    gain.gain.value = note.gain * (velocity / note.velocity) ** 2;
    if (note.loop) {
      Object.assign(source, { loop: true, loopStart: note.loop.start, loopEnd: note.loop.end });
      const { start, decay } = note.loop; // the loop itself doesn't decay
      if (decay && start / rate < seconds) gain.gain.setTargetAtTime(0, at + start / rate, 1 / decay);
    }
    source.connect(gain);
    let last = gain;
    if (kit && Math.abs(note.place) > 0.05) {
      last = this.context.createStereoPanner();
      last.pan.value = note.place;
      gain.connect(last);
    }
    last.connect(this.buses[part]);
    const voice = { source, gain, part, at };
    source.start(at);
    if (!kit) this.#release(voice, at + seconds);
    if (part === "drums" && CHOKED_BY_HAT.has(pitch)) {
      if (this.hat) this.#release(this.hat, Math.max(at, this.hat.at));
      this.hat = voice;
    }
    this.voices.add(voice);
    source.onended = () => {
      this.voices.delete(voice);
      last.disconnect();
    };
  }

  /** Ends a voice from a time on, in its release. */
  #release(voice, at) {
    const constant = RELEASE_SECONDS[voice.part] ?? USUAL_RELEASE_SECONDS;
    voice.gain.gain.setTargetAtTime(0, at, constant);
    voice.source.stop(at + SILENT_AFTER * constant);
  }

  /** Takes back the notes of some parts that begin at a time or later. */
  takeBack(parts, at) {
    for (const voice of [...this.voices]) {
      if (!parts.includes(voice.part) || voice.at < at) continue;
      voice.source.onended = null;
      voice.source.stop();
      voice.source.disconnect();
      this.voices.delete(voice);
      if (voice === this.hat) this.hat = null;
    }
  }

  /** Takes back the notes of some parts from a time on, and ends those that sound then. */
  silence(parts, at = this.context.currentTime) {
    this.takeBack(parts, at);
    for (const voice of this.voices) {
      if (!parts.includes(voice.part)) continue;
      voice.gain.gain.cancelScheduledValues(at);
      this.#release(voice, at);
      if (voice === this.hat) this.hat = null;
    }
  }
}

/** Linear up to CEILING_FROM, then bent, so that it never reaches full scale. */
function ceilingCurve() {
  const size = 8193;
  const bend = 1 - CEILING_FROM;
  return Float32Array.from({ length: size }, (_, i) => {
    const x = CEILING_REACH * ((2 * i) / (size - 1) - 1);
    const over = Math.abs(x) - CEILING_FROM;
    return over <= 0 ? x : Math.sign(x) * (CEILING_FROM + bend * Math.tanh(over / bend));
  });
}

const CEILING = ceilingCurve();

/** The reverb's impulse response, size and level 0 to 1: decaying noise, the same each time. */
function roomBuffer(rate, { size, level }) {
  const length = Math.floor(SMALLEST_ROOM_SECONDS * (1 + size) * rate);
  const buffer = new AudioBuffer({ numberOfChannels: 2, length, sampleRate: rate });
  let seed = 1;
  for (let side = 0; side < 2; side++) {
    const samples = buffer.getChannelData(side);
    let smooth = 0;
    let energy = 0;
    for (let i = 0; i < length; i++) {
      seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
      smooth += 0.35 * (seed / 2 ** 31 - 1 - smooth);
      samples[i] = smooth * 10 ** ((-3 * i) / length);
      energy += samples[i] ** 2;
    }
    for (let i = 0; i < length; i++) samples[i] *= (ROOM_LOUDNESS * level) / Math.sqrt(energy);
  }
  return buffer;
}
