// The audio thread of a recording: takes the microphone and the band's output in the same frames, so that
// what was heard and what was played stay as far apart as they were.

const MOST_WAIT_MS = 2000;

/** The channels of a frame: microphone, left and right of the band. */
export const CHANNELS = 3;

/** The program of the audio thread; its own text is sent there. */
function audioThread() {
  const FRAMES = 4096; // in a block
  const MICROPHONE = 0;
  const BAND = 1;

  class Capture extends AudioWorkletProcessor {
    constructor() {
      super();
      this.isOn = false;
      this.wanted = null;
      this.port.onmessage = ({ data }) => (this.wanted = data);
      this.empty();
    }

    empty() {
      this.block = new Int16Array(3 * FRAMES);
      this.filled = 0;
      this.peak = 0;
    }

    process(inputs, [output]) {
      if (this.wanted !== null && this.wanted !== this.isOn) {
        this.isOn = this.wanted;
        if (!this.isOn) this.send(true);
      }
      this.wanted = null;
      if (this.isOn) this.keep(inputs, output[0].length);
      return true;
    }

    keep(inputs, frames) {
      const [left, right = left] = inputs[BAND];
      const [heard] = inputs[MICROPHONE];
      if (!this.filled) this.first = currentFrame;
      for (let i = 0, at = 3 * this.filled; i < frames; i++, at += 3) {
        const sample = heard ? heard[i] : 0;
        if (sample > this.peak) this.peak = sample;
        else if (-sample > this.peak) this.peak = -sample;
        this.block[at] = this.whole(sample);
        if (!left) continue;
        this.block[at + 1] = this.whole(left[i]);
        this.block[at + 2] = this.whole(right[i]);
      }
      this.filled += frames;
      if (this.filled >= FRAMES) this.send(false);
    }

    whole(sample) {
      return Math.round(32767 * Math.max(-1, Math.min(1, sample)));
    }

    send(isLast) {
      const { first, peak } = this;
      const samples = this.block.slice(0, 3 * this.filled);
      this.port.postMessage({ samples, first, peak, isLast }, [samples.buffer]);
      this.empty();
    }
  }
  registerProcessor("capture", Capture);
}

const able = new WeakSet();

/** Makes a context able to record; returns whether it is. */
export async function prepareCapture(context) {
  if (able.has(context)) return true;
  if (!context.audioWorklet) return false;
  const address = `data:text/javascript,${encodeURIComponent(`(${audioThread})()`)}`;
  const waited = new Promise((_, refuse) => setTimeout(refuse, MOST_WAIT_MS));
  await Promise.race([context.audioWorklet.addModule(address), waited]).then(() => able.add(context), () => {});
  return able.has(context);
}

/**
 * Takes a microphone and the band in a context that was prepared. band: the node of the band's output.
 * stream: that of the microphone. block: called with {samples, first, peak, isLast}: the frames since the
 * last block as 16-bit numbers, CHANNELS to a frame, the frame of the context's clock that they begin
 * at, and the microphone's peak, 0 to 1.
 */
export class Capture {
  constructor(context, band, stream, block) {
    this.source = context.createMediaStreamSource(stream);
    this.band = band;
    this.node = new AudioWorkletNode(context, "capture", {
      numberOfInputs: 2,
      numberOfOutputs: 1,
      outputChannelCount: [1],
      channelCount: 2,
      channelCountMode: "explicit",
    });
    this.mono = context.createGain(); // one channel of whatever the microphone has
    Object.assign(this.mono, { channelCount: 1, channelCountMode: "explicit" });
    this.source.connect(this.mono).connect(this.node, 0, 0);
    band.connect(this.node, 0, 1);
    this.node.connect(context.destination); // silent: so that it runs
    this.node.port.onmessage = ({ data }) => block(data);
  }

  start() {
    this.node.port.postMessage(true);
  }

  /** Ends; the last block follows. */
  stop() {
    this.node.port.postMessage(false);
  }

  /** Lets go of all nodes; no block follows. */
  close() {
    this.node.port.onmessage = null;
    this.band.disconnect(this.node);
    this.mono.disconnect();
    this.source.disconnect();
    this.node.disconnect();
  }
}
