// The video of a take: the camera with the mix, in the browser's own format. The band waits as long as
// the microphone is late, so that both are in step with each other and with the camera.

import { leveller } from "../sound/leveller.js";
import { LONGEST } from "./latency.js";

const CEILING = 10 ** (-1.1 / 20);
const EVERY_MS = 1000; // a part of the video is handed on so often
const BITS = { videoBitsPerSecond: 2_000_000, audioBitsPerSecond: 160_000 };
/** What other programs open most often; else the browser's own choice. */
const FAVOURITE = "video/mp4;codecs=avc1.42E01E,mp4a.40.2";

/** Whether the browser can make a video. */
export function canFilm() {
  return Boolean(globalThis.MediaRecorder && navigator.mediaDevices?.getUserMedia);
}

export class Film {
  /** camera, microphone: streams. band: the node of its output. levels: {latency, microphone, band}. */
  constructor(context, camera, microphone, band, levels) {
    this.band = band;
    const limiter = leveller(context, { level: CEILING, share: 1, isTrue: true });
    const end = context.createMediaStreamDestination();
    this.source = context.createMediaStreamSource(microphone);
    this.nodes = [this.#level(context, levels.microphone), this.#level(context, levels.band), context.createDelay(LONGEST + 1), limiter.output];
    const [mine, theirs, wait] = this.nodes;
    Object.assign(mine, { channelCount: 1, channelCountMode: "explicit" });
    wait.delayTime.value = levels.latency;
    this.source.connect(mine).connect(limiter.input);
    band.connect(wait).connect(theirs).connect(limiter.input);
    limiter.output.connect(end);
    const type = MediaRecorder.isTypeSupported(FAVOURITE) ? { mimeType: FAVOURITE } : {};
    const tracks = [...camera.getVideoTracks(), ...end.stream.getAudioTracks()];
    this.recorder = new MediaRecorder(new MediaStream(tracks), { ...type, ...BITS });
    this.parts = [];
    this.recorder.ondataavailable = ({ data }) => data.size && this.parts.push(data);
  }

  #level(context, gain) {
    const node = context.createGain();
    node.gain.value = gain;
    return node;
  }

  start() {
    this.recorder.start(EVERY_MS);
  }

  /** Ends, and returns the video's blob. */
  async stop() {
    if (this.recorder.state !== "inactive") {
      const over = new Promise((done) => (this.recorder.onstop = done));
      this.recorder.stop();
      await over;
    }
    return this.parts.length ? new Blob(this.parts, { type: this.recorder.mimeType }) : null;
  }

  close() {
    this.band.disconnect(this.nodes[2]);
    this.source.disconnect();
    for (const node of this.nodes) node.disconnect();
  }
}
