// The leveller: lowers what is louder than a level, ahead of the stroke, as the program's own mix does.
// Compressors of parts and the limiter at the end are of this kind. It runs on the audio thread.

const MOST_WAIT_MS = 2000; // for a browser that never says whether it can
const [RATIO, ROOM_DB] = [20, 3]; // of the browser's own compressor
const REACH = 2; // full scale is 1; what is louder than this comes out no louder

/** The program of the audio thread; its own text is sent there. */
function audioThread() {
  const SLICE = 64; // frames
  const AHEAD = 3; // slices looked ahead
  const DOWN = (1000 * SLICE) / sampleRate; // decibels a slice: 1000 and 60 a second
  const BACK = (60 * SLICE) / sampleRate;
  const POINTS = 4; // of a true peak, to a frame (ITU-R BS.1770-4 annex 2)
  const REACH = 12; // samples on each side of a point in between
  const NEAR = 10 ** (-3 / 20); // a true peak lies less than 3 dB above the samples

  /** The weights of the samples around each point in between, by windowed sinc. */
  const WEIGHTS = Array.from({ length: POINTS - 1 }, (_, n) => {
    const row = Array.from({ length: 2 * REACH }, (__, at) => {
      const distance = at - REACH + 1 - (n + 1) / POINTS;
      const turn = Math.PI * distance;
      return (Math.sin(turn) / turn) * Math.cos(turn / 2 / REACH) ** 2;
    });
    const sum = row.reduce((whole, weight) => whole + weight);
    return row.map((weight) => weight / sum);
  });

  class Leveller extends AudioWorkletProcessor {
    constructor({ processorOptions: { level, share, isTrue } }) {
      super();
      Object.assign(this, { level, share, isTrue });
      this.late = AHEAD + 2; // slices that a sound waits: one more is looked at for its true peak
      this.slices = this.late + 2;
      this.sides = [0, 1].map(() => new Float32Array(this.slices * SLICE));
      this.after = new Float32Array(AHEAD + 1); // decibels to lower the next slices by, oldest first
      this.edge = 1; // the gain at the start of the slice that goes out
      this.lowered = 0;
      this.before = 0; // the peak of the slice before, without the points in between
      this.at = 0;
      this.busy = 0; // slices until all that came in is out
    }

    process([input], [output]) {
      if (input.length) this.busy = this.slices;
      else if (this.busy <= 0) return true;
      for (let from = 0; from < output[0].length; from += SLICE) this.slice(input, output, from);
      return true;
    }

    slice(input, output, from) {
      const into = this.at * SLICE;
      let peak = 0;
      for (let side = 0; side < 2; side++) {
        const kept = this.sides[side];
        const came = input[Math.min(side, input.length - 1)];
        for (let i = 0; i < SLICE; i++) {
          const sample = came ? came[from + i] : 0;
          kept[into + i] = sample;
          if (sample > peak) peak = sample;
          else if (-sample > peak) peak = -sample;
        }
      }
      const whole = this.isTrue && this.before > NEAR * this.level ? this.between(into) : this.before;
      this.before = peak;
      this.plan(whole);
      const out = ((this.at + this.slices - this.late) % this.slices) * SLICE;
      const end = this.gain();
      const step = (end - this.edge) / SLICE;
      for (let side = 0; side < output.length; side++) {
        const kept = this.sides[side];
        const gone = output[side];
        for (let i = 0; i < SLICE; i++) gone[from + i] = kept[out + i] * (this.edge + step * i);
      }
      this.edge = end;
      this.at = (this.at + 1) % this.slices;
      this.busy -= 1;
    }

    /** The highest of the samples of the slice before and of the points between them. */
    between(into) {
      const size = this.slices * SLICE;
      let peak = this.before;
      for (const kept of this.sides) {
        for (let i = into - SLICE; i < into; i++) {
          for (const weights of WEIGHTS) {
            let sum = 0;
            for (let k = 0; k < 2 * REACH; k++) sum += weights[k] * kept[(i + k - REACH + 1 + size) % size];
            if (Math.abs(sum) > peak) peak = Math.abs(sum);
          }
        }
      }
      return peak;
    }

    /** Lowers a slice that goes out later, after the one before it. */
    plan(peak) {
      const over = peak > this.level ? 20 * Math.log10(peak / this.level) * this.share : 0;
      this.after.copyWithin(0, 1);
      this.after[AHEAD] = Math.max(over, this.after[AHEAD] - BACK, 0);
    }

    /** The gain at the end of the slice that goes out: low enough for it and for the next. */
    gain() {
      let lowered = 0;
      for (let k = 0; k <= AHEAD; k++) lowered = Math.max(lowered, this.after[k] - k * DOWN);
      const most = Math.max(lowered, this.lowered);
      this.lowered = lowered;
      return most > 0 ? 10 ** (-most / 20) : 1;
    }
  }
  registerProcessor("leveller", Leveller);
}

/** Frames by which a leveller is late. */
export const LATE_FRAMES = 5 * 64;
const able = new WeakSet();

/** Makes a context able to have levellers; without them it makes do with what every browser has. */
export async function prepareLevellers(context) {
  if (!context.audioWorklet) return;
  // A page that is opened as a file may not have its audio thread from a blob.
  const address = `data:text/javascript,${encodeURIComponent(`(${audioThread})()`)}`;
  const waited = new Promise((_, refuse) => setTimeout(refuse, MOST_WAIT_MS));
  await Promise.race([context.audioWorklet.addModule(address), waited]).then(() => able.add(context), () => {});
}

/** Frames by which all sound of a context is late: that of a part's leveller and of the last one. */
export function lateFrames(context) {
  return able.has(context) ? 2 * LATE_FRAMES : 0;
}

/**
 * Nodes, {input, output}, that lower what is over a level, a factor, by a share of the decibels that it
 * is over, 0 to 1. isTrue: whether points between the samples count as well.
 */
export function leveller(context, { level, share, isTrue = false }) {
  if (!able.has(context)) return makeshift(context, level, share);
  const node = new AudioWorkletNode(context, "leveller", {
    numberOfInputs: 1,
    numberOfOutputs: 1,
    outputChannelCount: [2],
    channelCount: 2,
    channelCountMode: "explicit",
    processorOptions: { level, share, isTrue },
  });
  return { input: node, output: node };
}

/** For a limiter the browser's own compressor and a bent curve; other parts are left as they are. */
function makeshift(context, level, share) {
  const output = context.createGain();
  if (share < 1) return { input: output, output };
  const input = context.createDynamicsCompressor();
  const threshold = 20 * Math.log10(level) - ROOM_DB;
  for (const [name, value] of Object.entries({ threshold, knee: 0, ratio: RATIO, attack: 0.001, release: 0.1 })) {
    input[name].value = value;
  }
  const made = -0.6 * threshold * (1 - 1 / RATIO); // dB that such a node adds by itself (Web Audio API)
  output.gain.value = 10 ** (-made / 20) / REACH;
  const bent = context.createWaveShaper();
  bent.curve = ceilingCurve(level);
  input.connect(output).connect(bent);
  return { input, output: bent };
}

/** Linear up to a little under a level, then bent, so that it never reaches it; for up to REACH. */
function ceilingCurve(level) {
  const size = 8193;
  const [from, bend] = [0.8 * level, 0.2 * level];
  return Float32Array.from({ length: size }, (_, i) => {
    const x = REACH * ((2 * i) / (size - 1) - 1);
    const over = Math.abs(x) - from;
    return over <= 0 ? x : Math.sign(x) * (from + bend * Math.tanh(over / bend));
  });
}
