// The channel of a part: its instruments' saturation and equalisers, its place, compressor and fader.

import { leveller } from "./leveller.js";

const REACH = 2; // full scale is 1; a curve goes so far
const SHAPES = {
  "low shelf": "lowshelf",
  "high shelf": "highshelf",
  peak: "peaking",
  "low pass": "lowpass",
  "high pass": "highpass",
};
const VIBRATO_HERTZ = 8.176; // of a soundfont's vibrato, and its depth at full modulation in cents
const VIBRATO_CENTS = 50; // (SoundFont specification 2.01, from memory)
const SMOOTH_SECONDS = 0.008;
const MODULATION = 1; // numbers of MIDI controllers (General MIDI 1, from memory)
const EXPRESSION = 11;

/** Controller values 0 to 127 as General MIDI means them: 40 log10 of the share, in decibels. */
function controllerGain(value) {
  return (value / 127) ** 2;
}

export class Channel {
  /**
   * part: its place in the mix, from the page's data, with `sides` where they are not those of its sounds. loudness:
   * 1 is its place in the mix. out, room: the nodes that it plays to; room: null where there is none.
   */
  constructor(context, part, loudness, out, room) {
    Object.assign(this, { context, part, inputs: new Map(), swells: [], vibrato: null });
    const [level, share] = part.compressor ?? [1, 0];
    const compressor = leveller(context, { level, share });
    this.compressor = compressor.input;
    this.fader = context.createGain();
    this.fader.gain.value = loudness ** 2;
    const mixed = context.createGain();
    mixed.gain.value = part.gain ?? 1;
    compressor.output.connect(mixed).connect(this.fader).connect(out);
    if (room && part.reverb) {
      const send = context.createGain();
      send.gain.value = part.reverb / 127;
      this.fader.connect(send).connect(room);
    }
  }

  /** The node that a sound of the part is played to; kind: {saturation, bands, sides} of its instrument. */
  input(name, kind = {}) {
    if (!this.inputs.has(name)) {
      const { context } = this;
      const input = context.createGain();
      input.gain.value = controllerGain(this.part.volume);
      let last = input;
      const add = (node) => (last = last.connect(node));
      add(this.#swelling());
      if (kind.saturation) {
        const before = context.createGain();
        before.gain.value = 1 / REACH;
        const bent = context.createWaveShaper();
        bent.curve = saturated(...kind.saturation);
        add(before);
        add(bent);
      }
      for (const band of kind.bands ?? []) add(this.#band(band));
      last.connect(this.#placed(this.part.sides ?? kind.sides ?? [1, 1], this.compressor));
      this.inputs.set(name, input);
    }
    return this.inputs.get(name);
  }

  #swelling() {
    const swell = this.context.createGain();
    this.swells.push(swell);
    return swell;
  }

  #band([shape, hertz, gain, q]) {
    const node = this.context.createBiquadFilter();
    node.type = SHAPES[shape];
    node.frequency.value = hertz;
    node.gain.value = gain;
    node.Q.value = shape.endsWith("pass") ? 20 * Math.log10(q) : q;
    return node;
  }

  /** A node that plays to another one with gains for left and right. */
  #placed([left, right], target) {
    const both = this.context.createGain();
    if (left === 1 && right === 1) {
      both.connect(target);
      return both;
    }
    Object.assign(both, { channelCount: 2, channelCountMode: "explicit" });
    const [apart, together] = [this.context.createChannelSplitter(2), this.context.createChannelMerger(2)];
    both.connect(apart);
    [left, right].forEach((share, side) => {
      const gain = this.context.createGain();
      gain.gain.value = share;
      apart.connect(gain, side).connect(together, 0, side);
    });
    together.connect(target);
    return both;
  }

  /** Carries out a MIDI controller at a time. */
  control(number, value, at) {
    if (number === EXPRESSION) {
      for (const { gain } of this.swells ?? []) gain.setTargetAtTime(controllerGain(value), at, SMOOTH_SECONDS);
    } else if (number === MODULATION) {
      this.#trembling().gain.setTargetAtTime((VIBRATO_CENTS * value) / 127, at, SMOOTH_SECONDS);
    }
  }

  /** Takes back what controllers were to do from a time on. */
  takeBack(at) {
    const moved = this.vibrato ? [...this.swells, this.vibrato] : this.swells;
    for (const { gain } of moved) gain.cancelScheduledValues(at);
  }

  /** The depth of the vibrato, which moves each voice's detune. */
  #trembling() {
    if (!this.vibrato) {
      const moving = this.context.createOscillator();
      moving.frequency.value = VIBRATO_HERTZ;
      this.vibrato = this.context.createGain();
      this.vibrato.gain.value = 0;
      moving.connect(this.vibrato);
      moving.start();
    }
    return this.vibrato;
  }
}

/** A curve that bends what is loud, as the program's own: drive in dB, and the share of even harmonics. */
function saturated(drive, even) {
  const size = 8193;
  const factor = 10 ** (drive / 20);
  const still = Math.tanh(even);
  return Float32Array.from({ length: size }, (_, i) => {
    const x = REACH * ((2 * i) / (size - 1) - 1);
    return (Math.tanh(factor * x + even) - still) / (factor * (1 - still * still));
  });
}
