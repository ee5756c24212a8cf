// The mix of a take as a file: WAV, or Opus where the browser has an encoder.

import { oggOpus } from "../files/ogg_file.js";
import { wavHead, wavSamples } from "../files/wav_file.js";

const OPUS_RATE = 48000;
const USUAL_SKIP = 312; // frames that an encoder puts first, where it doesn't say
const PADDING = 2048; // frames
const BITRATE = 160_000;
const MOST_WAITING = 20; // pieces for the encoder

/** A blob of a take's mix as WAV. levels, tell: as in Take.mix. info: as in wavHead. */
async function takeAsWav(take, levels, info, tell) {
  const { rate, frames } = take;
  const parts = [wavHead({ channels: 2, rate, frames, info })];
  for await (const sides of take.mix(levels, tell)) parts.push(new Blob([wavSamples(sides)]));
  return new Blob(parts, { type: "audio/wav" });
}

function opus(rate) {
  return { codec: "opus", sampleRate: rate, numberOfChannels: 2, bitrate: BITRATE };
}

/** Whether the browser can encode Opus at a rate. */
export async function canOpus(rate) {
  if (!globalThis.AudioEncoder || !globalThis.AudioData) return false;
  return AudioEncoder.isConfigSupported(opus(rate)).then(({ supported }) => supported, () => false);
}

/** A blob of a take's mix as Opus in Ogg. comments: words by the name of their field. */
async function takeAsOpus(take, levels, comments, tell) {
  const { rate } = take;
  const packets = [];
  let skip = USUAL_SKIP;
  let failed = null;
  const encoder = new AudioEncoder({
    output: (chunk, about) => {
      const bytes = new Uint8Array(chunk.byteLength);
      chunk.copyTo(bytes);
      packets.push({ bytes, frames: Math.round((chunk.duration * OPUS_RATE) / 1e6) });
      skip = skipIn(about?.decoderConfig?.description) ?? skip;
    },
    error: (error) => (failed = error),
  });
  encoder.configure(opus(rate));
  let at = 0;
  for await (const sides of take.mix(levels, tell)) {
    encode(encoder, sides, rate, at);
    at += sides[0].length;
    while (encoder.encodeQueueSize > MOST_WAITING && !failed) await new Promise((done) => setTimeout(done, 10));
    if (failed) throw failed;
  }
  const rest = new Float32Array(PADDING); // what the encoder is late by is pushed out
  encode(encoder, [rest, rest], rate, at);
  await encoder.flush();
  encoder.close();
  const frames = Math.round((take.frames * OPUS_RATE) / rate);
  return new Blob(oggOpus({ packets, channels: 2, rate, frames, skip, comments }), { type: "audio/ogg" });
}

function encode(encoder, sides, rate, at) {
  const frames = sides[0].length;
  const data = new Float32Array(2 * frames);
  sides.forEach((side, n) => data.set(side, n * frames));
  const timestamp = Math.round((at * 1e6) / rate);
  const sound = new AudioData({ format: "f32-planar", sampleRate: rate, numberOfFrames: frames, numberOfChannels: 2, timestamp, data });
  encoder.encode(sound);
  sound.close();
}

/** The frames to skip, from an encoder's description: the head of an Opus stream. */
function skipIn(description) {
  if (!description) return null;
  const view = ArrayBuffer.isView(description) ? new DataView(description.buffer, description.byteOffset, description.byteLength) : new DataView(description);
  return view.byteLength >= 12 ? view.getUint16(10, true) : null;
}

/** A take as a file's blob; kind: "wav" or "opus". */
export function takeAsFile(take, kind, levels, { title, credits }, tell) {
  if (kind === "wav") return takeAsWav(take, levels, { INAM: title, ICMT: credits, ISFT: "groove" }, tell);
  return takeAsOpus(take, levels, { TITLE: title, COMMENT: credits }, tell);
}

/** The name of a take as a part of a file's name; its number if no letter is in it. */
export function wordsOfName({ about }) {
  const words = about.name.normalize("NFC").replace(/[^\p{L}\p{N}]+/gu, "-").replace(/^-+|-+$/g, "");
  return words || about.number;
}
