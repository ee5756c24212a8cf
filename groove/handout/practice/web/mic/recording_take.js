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
    const channel = (samples, at) => Float32Array.from({ length: to - from }, (_, i) => samples[CHANNELS * i + at] / WHOLE);
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
   * peaks are lowered where they would be too high.
   */
  async *mix({ latency, microphone, band }) {
    const sides = (piece) => ["left", "right"].map((side) => piece[side].map((sample, i) => band * sample + microphone * piece.microphone[i]));
    const peaks = [];
    for await (const piece of this.pieces(latency)) peaks.push(...peaksOf(sides(piece)));
    const gains = gainsFor(peaks, CEILING, this.rate);
    let slice = 0;
    for await (const piece of this.pieces(latency)) {
      yield sides(piece).map((side) => lowered(side, gains, slice));
      slice += piece.left.length / SLICE;
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
      peak = microphone.reduce((most, sample) => Math.max(most, Math.abs(sample)), peak);
      for (let from = 0; from + size <= left.length; from += size) {
        const energy = (samples) => samples.subarray(from, from + size).reduce((sum, sample) => sum + sample * sample, 0) / size;
        energies.microphone.push(energy(microphone));
        energies.band.push((energy(left) + energy(right)) / 2);
      }
    }
    const loud = (all) => Math.sqrt(all.sort((one, other) => one - other)[Math.floor(LOUD_SHARE * all.length)] ?? 0);
    return { microphone: loud(energies.microphone), band: loud(energies.band), isSilent: peak < SILENT };
  }
}
