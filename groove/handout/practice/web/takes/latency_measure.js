// Measures the latency: plays clicks and finds them in what the microphone hears, or waits for taps.

import { findClick, fromClicks, fromTaps, lateTap, LONGEST, probe, TAPS } from "./latency.js";
import { closeMicrophone, openMicrophone } from "../sound/microphone.js";
import { Capture, CHANNELS, prepareCapture } from "./recording_thread.js";

const USER = "latency"; // of the stage's clock
const FIRST_SECONDS = 0.5;
const CLICKS = 8;
/** Seconds from a click to the next: longer than any latency, and never the same, as a hum would be. */
const GAPS = [0.71, 0.66, 0.78, 0.69, 0.74, 0.67, 0.76, 0.7];
const MORE_SECONDS = 0.2; // for what the browser itself is late
const TAP_SECONDS = 0.75; // from a click to the next one
const MOST_TAPS = 24; // clicks to tap to; then nobody taps

/** Plays a click, a Float32Array, at times of the context; returns the node it comes from. */
function play(context, click, times) {
  const out = context.createGain();
  const buffer = context.createBuffer(1, click.length, context.sampleRate);
  buffer.copyToChannel(click, 0);
  for (const at of times) {
    const source = context.createBufferSource();
    source.buffer = buffer;
    source.connect(out);
    source.start(at);
  }
  out.connect(context.destination);
  return out;
}

/**
 * Finds the latency through the air: {latency} in seconds, or {reason} as in `fromClicks`. Asks for the
 * microphone, so it is called from a press. tell: called with the number of clicks that are played and
 * how many there are.
 */
export async function measureByClicks(stage, tell = () => {}) {
  const { context } = stage;
  const running = stage.use(USER);
  running.catch(() => {}); // it is waited for only where there is a microphone
  const stream = await openMicrophone().catch((error) => {
    stage.leave(USER);
    throw error;
  });
  await prepareCapture(context);
  await running;
  const rate = context.sampleRate;
  const click = probe(rate);
  const begin = Math.ceil((context.currentTime + FIRST_SECONDS) * rate);
  const frames = GAPS.slice(0, CLICKS).map((_, n) => begin + Math.round(rate * GAPS.slice(0, n).reduce((sum, gap) => sum + gap, 0)));
  const out = play(context, click, frames.map((frame) => frame / rate));
  const end = frames.at(-1) + Math.round((LONGEST + MORE_SECONDS) * rate);
  const heard = await listen(context, out, stream, end, (now) => tell(frames.filter((frame) => frame <= now).length, CLICKS));
  closeMicrophone(stream);
  stage.leave(USER);
  const size = Math.round(LONGEST * rate) + click.length;
  const found = frames.map((frame) => {
    const from = frame - heard.first;
    const { at, clear } = findClick(heard.samples.subarray(Math.max(0, from), from + size), click);
    return { late: at / rate, clear };
  });
  return fromClicks(found);
}

/** What the microphone hears up to a frame of the context: {first, samples}. */
function listen(context, out, stream, end, tell) {
  return new Promise((done) => {
    const blocks = [];
    const capture = new Capture(context, out, stream, (block) => {
      const now = block.first + block.samples.length / CHANNELS;
      blocks.push(block);
      tell(now);
      if (now < end) return;
      capture.close();
      out.disconnect();
      const length = now - blocks[0].first;
      const samples = new Float32Array(length);
      for (const one of blocks) {
        const from = one.first - blocks[0].first;
        for (let i = 0; CHANNELS * i < one.samples.length; i++) samples[from + i] = one.samples[CHANNELS * i];
      }
      done({ first: blocks[0].first, samples });
    });
    capture.start();
  });
}

/** Taps to clicks: plays them from a press on, until eight taps have come. */
export class TapMeasure {
  /** tell: called with the number of taps so far. done: called with {latency} or {reason} when it is over. */
  constructor(stage, { tell, done }) {
    Object.assign(this, { stage, tell, done, lates: [] });
  }

  async start() {
    const { context } = this.stage;
    await this.stage.use(USER);
    const begin = context.currentTime + FIRST_SECONDS;
    this.clicks = Array.from({ length: MOST_TAPS }, (_, n) => begin + n * TAP_SECONDS);
    this.out = play(context, probe(context.sampleRate), this.clicks);
    this.waiting = setTimeout(() => this.#end({ reason: "untapped" }), 1000 * (FIRST_SECONDS + MOST_TAPS * TAP_SECONDS));
  }

  /** Takes a tap. stamp: its time as an event's timeStamp. */
  tap(stamp) {
    if (!this.clicks) return;
    const now = this.stage.context.currentTime - (performance.now() - stamp) / 1000;
    const late = lateTap(now, this.clicks, TAP_SECONDS);
    if (late === null) return;
    this.lates.push(late);
    this.tell(this.lates.length);
    if (this.lates.length >= TAPS) this.#end(fromTaps(this.lates));
  }

  cancel() {
    this.#end(null);
  }

  #end(result) {
    clearTimeout(this.waiting);
    this.out?.disconnect();
    this.clicks = null;
    this.stage.leave(USER);
    this.done(result);
  }
}
