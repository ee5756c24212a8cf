// A take: what the microphone and the band gave, frame by frame, and its mix with levels of its own.

import { gainsFor, lowered, peaksOf, SLICE } from "./recording_limit.js";
import { CHANNELS } from "./recording_thread.js";

const BYTES = 2 * CHANNELS; // of a frame
const PIECE_FRAMES = 3000 * SLICE;
const WINDOW_SECONDS = 0.4; // of loudness
const LOUD_SHARE = 0.8; // windows that are as loud as this share of them or louder count
const SILENT = 10 ** (-66 / 20); // a microphone that never gives more is not connected
const CEILING = 10 ** (-2 / 20); // of samples; between them it may rise a little higher;
const WHOLE = 32767;

/** A level in decibels as a factor; `off` and below it, 0. */
export function factor(decibels, off = -40) {
  return decibels <= off ? 0 : 10 ** (decibels / 20);
}

export class Take {
  /**
   * blob: the frames as 16-bit numbers, CHANNELS to a frame. about: what is to be said of it: name,
   * from and to, each {key, tempo}. film: the blob of its video, if there is one.
   */
  constructor({ blob, rate, about, film = null }) {
    Object.assign(this, { blob, rate, about, film, isSaved: false });
    this.frames = Math.floor(blob.size / BYTES);
  }

  get seconds() {
    return this.frames / this.rate;
  }

  /** Frames from one of them to another: 16-bit numbers; 0 before the start and after the end. */
  async read(from, to) {
    const samples = new Int16Array(CHANNELS * (to - from));
    const [first, last] = [Math.max(0, from), Math.min(this.frames, to)];
    if (last <= first) return samples;
    const bytes = await this.blob.slice(BYTES * first, BYTES * last).arrayBuffer();
    samples.set(new Int16Array(bytes), CHANNELS * (first - from));
    return samples;
  }

  /** A piece as {microphone, left, right}, the microphone moved earlier by so many seconds. */
  async piece(from, to, latency) {
    const late = Math.round(latency * this.rate);
    const [band, heard] = await Promise.all([this.read(from, to), this.read(from + late, to + late)]);
    return { microphone: channel(heard, 0), left: channel(band, 1), right: channel(band, 2) };
  }

  /** The pieces of the whole take, one after another. */
  async *pieces(latency) {
    for (let from = 0; from < this.frames; from += PIECE_FRAMES) {
      yield this.piece(from, Math.min(this.frames, from + PIECE_FRAMES), latency);
    }
  }

  /**
   * The mix, piece by piece: [left, right]. levels: {latency, microphone, band}: seconds and factors. Its
   * peaks are lowered where they would be too high. tell: called with the share done, 0 to 1.
   */
  async *mix(levels, tell = () => {}) {
    const whole = Math.ceil(this.frames / SLICE);
    const peaks = new Float32Array(whole);
    let slice = 0;
    for await (const piece of this.pieces(levels.latency)) {
      peaks.set(peaksOf(mixed(piece, levels)), slice);
      slice += piece.left.length / SLICE;
      tell(slice / whole / 2);
    }
    const gains = gainsFor(peaks, CEILING, this.rate);
    slice = 0;
    for await (const piece of this.pieces(levels.latency)) {
      yield mixed(piece, levels).map((side) => lowered(side, gains, slice));
      slice += piece.left.length / SLICE;
      tell((1 + slice / whole) / 2);
    }
  }

  /**
   * How loud microphone and band are where they play: {microphone, band}, as effective values of the
   * louder windows. isSilent: whether the microphone gave nothing at all.
   */
  async loudness() {
    const size = Math.round(WINDOW_SECONDS * this.rate);
    const energies = { microphone: [], band: [] };
    let peak = 0;
    for await (const { microphone, left, right } of this.pieces(0)) {
      for (const sample of microphone) if (Math.abs(sample) > peak) peak = Math.abs(sample);
      for (let from = 0; from + size <= left.length; from += size) {
        energies.microphone.push(energy(microphone, from, from + size));
        energies.band.push((energy(left, from, from + size) + energy(right, from, from + size)) / 2);
      }
    }
    const loud = (all) => Math.sqrt(all.sort((one, other) => one - other)[Math.floor(LOUD_SHARE * all.length)] ?? 0);
    return { microphone: loud(energies.microphone), band: loud(energies.band), isSilent: peak < SILENT };
  }
}

/** A channel of frames, between -1 and 1. */
function channel(samples, at) {
  const found = new Float32Array(samples.length / CHANNELS);
  for (let i = 0; i < found.length; i++) found[i] = samples[CHANNELS * i + at] / WHOLE;
  return found;
}

/** Both sides of a piece's mix. */
function mixed({ left, right, microphone: heard }, { microphone, band }) {
  return [left, right].map((side) => {
    const found = new Float32Array(side.length);
    for (let i = 0; i < found.length; i++) found[i] = band * side[i] + microphone * heard[i];
    return found;
  });
}

/** The mean square of some samples. */
function energy(samples, from, to) {
  let sum = 0;
  for (let i = from; i < to; i++) sum += samples[i] * samples[i];
  return sum / (to - from);
}
