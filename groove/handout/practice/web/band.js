// The band in one audio context, live or offline: a bus for each part, a room, a soft ceiling.

import { nearestNote } from "./sounds.js";

const MASTER_GAIN = 6.5; // brings the synthesiser's level to that of posted music
const RELEASE_SECONDS = { bass: 0.035, comping: 0.06, drums: 0.02, click: 0.02, "count-in": 0.02 };
const USUAL_A4 = 440; // hertz, to which the sounds are recorded
const SMALLEST_ROOM_SECONDS = 0.5; // until its echo is 60 dB down; the largest takes twice as long
const ROOM_LOUDNESS = 0.8;
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
   * context: where to play. track: for the mix. sounds: as decodeSounds gives them. loudness: how
   * loud each part is to begin with, 0 to 1 (1 is its place in the mix).
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
    for (const part of [...track.parts, ...clicks]) {
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
  strike(part, pitch, velocity, at, seconds) {
    const kit = !(part in this.sounds) || part === "drums"; // clicks are sounds of the kit
    const note = nearestNote(this.sounds[kit ? "drums" : part], pitch, velocity);
    if (!note) return;
    const source = this.context.createBufferSource();
    source.buffer = note.buffer;
    if (!kit) source.playbackRate.value = this.tuned * 2 ** ((pitch - note.pitch) / 12);
    if (note.loop) [source.loop, source.loopStart, source.loopEnd] = [true, ...note.loop];
    const gain = this.context.createGain();
    gain.gain.value = note.gain * (velocity / note.velocity) ** 2;
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

  /** Lets a voice die away from a time on. */
  #release(voice, at) {
    const constant = RELEASE_SECONDS[voice.part];
    voice.gain.gain.setTargetAtTime(0, at, constant);
    voice.source.stop(at + SILENT_AFTER * constant);
  }

  /** Takes back what was to sound after a time and lets go of what sounds then. */
  silence(parts, at = this.context.currentTime) {
    for (const voice of [...this.voices]) {
      if (!parts.includes(voice.part)) continue;
      if (voice.at >= at) {
        voice.source.onended = null;
        voice.source.stop();
        voice.source.disconnect();
        this.voices.delete(voice);
      } else {
        voice.gain.gain.cancelScheduledValues(at);
        this.#release(voice, at);
      }
      if (voice === this.hat) this.hat = null;
    }
  }
}

/** Straight up to CEILING_FROM, then bent, so that it never gets to full scale. */
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

/** The band's room, size and level 0 to 1: noise that dies away, the same each time. */
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
