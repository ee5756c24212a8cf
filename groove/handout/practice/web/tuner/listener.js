// Listens to the microphone: hands on the pitch of the last moment, some twenty times a second.

import { closeMicrophone, openMicrophone } from "../sound/microphone.js";
import { pitchOf, SECONDS } from "./pitch.js";

const EVERY_MS = 50;
const REST = 1; // a slow device rests as long as it works
const SIZES = [8192, 16384, 32768]; // of what the browser keeps of the last sound

export class Listener {
  /** heard: called with each pitch as `pitchOf` has it. lost: called when the microphone is taken away. */
  constructor(heard, lost) {
    Object.assign(this, { heard, lost, stream: null, context: null });
  }

  get listens() {
    return this.stream !== null;
  }

  /** Opens the microphone; called from a press. Throws NoMicrophone. */
  async start() {
    const context = new AudioContext();
    try {
      const stream = await openMicrophone();
      context.resume().catch(() => {});
      Object.assign(this, { stream, context });
    } catch (error) {
      context.close();
      throw error;
    }
    const analyser = context.createAnalyser();
    const wanted = SECONDS * context.sampleRate;
    analyser.fftSize = SIZES.find((size) => size >= wanted) ?? SIZES.at(-1);
    this.source = context.createMediaStreamSource(this.stream);
    this.source.connect(analyser);
    for (const track of this.stream.getAudioTracks()) track.addEventListener("ended", () => this.listens && this.lost());
    this.#listen(analyser, new Float32Array(analyser.fftSize));
  }

  stop() {
    if (!this.listens) return;
    clearTimeout(this.timer);
    this.source.disconnect();
    closeMicrophone(this.stream);
    this.context.close();
    Object.assign(this, { stream: null, context: null, source: null });
  }

  #listen(analyser, samples) {
    const start = performance.now();
    analyser.getFloatTimeDomainData(samples);
    this.heard(pitchOf(samples, analyser.context.sampleRate));
    const took = performance.now() - start;
    if (this.listens) this.timer = setTimeout(() => this.#listen(analyser, samples), Math.max(EVERY_MS - took, REST * took));
  }
}
