// Plays a take back, piece by piece, with levels that follow the sliders at once.

import { leveller } from "../sound/leveller.js";

const USER = "take"; // of the stage's clock
const PIECE_SECONDS = 2;
const AHEAD_SECONDS = 5; // a browser may call a hidden page only once a second
const FIRST_SECONDS = 0.1;
const EVERY_MS = 250;
const CEILING = 10 ** (-1.1 / 20);
const GLIDE_SECONDS = 0.02;

export class TakePlayer {
  /** levels: a function that gives {latency, microphone, band}. moved: called with the seconds played. over: called at the end. */
  constructor(stage, { levels, moved, over }) {
    Object.assign(this, { stage, levels, moved, over, take: null, turn: 0 });
  }

  get playing() {
    return this.take !== null;
  }

  /** Plays a take from some seconds on. */
  async play(take, from = 0) {
    this.#quiet();
    const turn = this.turn;
    this.take = take;
    await this.stage.use(USER);
    if (turn !== this.turn) return;
    const { context } = this.stage;
    this.#connect(context);
    const first = Math.round(Math.max(0, Math.min(from, take.seconds)) * take.rate);
    Object.assign(this, { next: first, first, latency: this.levels().latency });
    this.begin = context.currentTime + FIRST_SECONDS;
    this.timer = setInterval(() => this.#step(), EVERY_MS);
    await this.#step();
  }

  stop() {
    if (!this.playing) return;
    this.#quiet();
    this.stage.leave(USER);
    this.over();
  }

  /** Takes up levels that were changed. */
  setLevels() {
    if (!this.gains) return;
    const { latency, microphone, band } = this.levels();
    const now = this.stage.context.currentTime;
    this.gains.microphone.gain.setTargetAtTime(microphone, now, GLIDE_SECONDS);
    this.gains.band.gain.setTargetAtTime(band, now, GLIDE_SECONDS);
    if (latency !== this.latency) this.play(this.take, this.seconds);
  }

  /** The seconds of the take that have been played. */
  get seconds() {
    if (!this.gains) return 0;
    return Math.max(0, this.stage.context.currentTime - this.begin) + this.first / this.take.rate;
  }

  #connect(context) {
    const limiter = leveller(context, { level: CEILING, share: 1, isTrue: true });
    limiter.output.connect(context.destination);
    const levels = this.levels();
    const gain = (name) => {
      const node = context.createGain();
      node.gain.value = levels[name];
      node.connect(limiter.input);
      return node;
    };
    this.gains = { microphone: gain("microphone"), band: gain("band") };
    this.limiter = limiter;
  }

  async #step() {
    if (!this.gains) return;
    const { take } = this;
    this.moved(Math.min(this.seconds, take.seconds));
    if (this.seconds >= take.seconds + FIRST_SECONDS) {
      this.stop();
      return;
    }
    if (this.isReading) return;
    this.isReading = true;
    const turn = this.turn;
    while (turn === this.turn && this.next < take.frames && this.next / take.rate < this.seconds + AHEAD_SECONDS) {
      const to = Math.min(take.frames, this.next + Math.round(PIECE_SECONDS * take.rate));
      const piece = await take.piece(this.next, to, this.latency);
      if (turn !== this.turn) return;
      this.#sound(piece, this.begin + (this.next - this.first) / take.rate);
      this.next = to;
    }
    if (turn === this.turn) this.isReading = false;
  }

  #sound({ microphone, left, right }, at) {
    this.#start([microphone], this.gains.microphone, at);
    this.#start([left, right], this.gains.band, at);
  }

  #start(sides, out, at) {
    const { context } = this.stage;
    const buffer = context.createBuffer(sides.length, sides[0].length, this.take.rate);
    sides.forEach((samples, side) => buffer.copyToChannel(samples, side));
    const source = context.createBufferSource();
    source.buffer = buffer;
    source.connect(out);
    source.start(at);
  }

  #quiet() {
    clearInterval(this.timer);
    this.turn += 1;
    this.isReading = false;
    for (const node of Object.values(this.gains ?? {})) node.disconnect();
    this.limiter?.output.disconnect();
    Object.assign(this, { gains: null, limiter: null, take: null });
  }
}
