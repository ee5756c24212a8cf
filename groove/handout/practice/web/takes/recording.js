// The recorder: takes microphone and band while both play, up to a limit, and makes a take of it.

import { Film } from "./recording_film.js";
import { closeMicrophone, openCamera, openMicrophone } from "../sound/microphone.js";
import { Capture, CHANNELS, prepareCapture } from "./recording_thread.js";
import { Take } from "./recording_take.js";

const USER = "record"; // of the stage's clock
const BLOCKS_IN_PART = 100;

/** The longest take, all takes together, and what is taken after the band has stopped, in seconds. */
const LIMITS = { take: 600, all: 1800, ring: 2 };

export class Recorder {
  /**
   * heard: called several times a second with {seconds, peak, state}, the state being "recording", "waiting"
   * while the band is paused, or "ending" while it dies away. done: called with the take and the reason why
   * it ended, "asked", "band", "limit" or "gone", where the microphone went away.
   */
  constructor(stage, { heard, done }) {
    Object.assign(this, { stage, heard, done, limits: { ...LIMITS }, state: "off" });
  }

  get isOn() {
    return this.state === "on";
  }

  /**
   * Asks for the microphone and records. film: null, or the levels of a video, as in Film. about: what is
   * to be said of the take. most: the seconds that are left for it. Throws NoMicrophone.
   */
  async start({ film, about, most = Infinity }) {
    const { stage } = this;
    this.state = "asking";
    const running = stage.use(USER);
    running.catch(() => {}); // it is waited for only where there is a microphone
    try {
      this.stream = await openMicrophone();
      this.camera = film ? await openCamera() : null;
      await Promise.all([prepareCapture(stage.context), running]);
      this.capture = new Capture(stage.context, stage.band.output, this.stream, (block) => this.#keep(block));
      this.film = film ? new Film(stage.context, this.camera, this.stream, stage.band.output, film) : null;
    } catch (error) {
      this.#letGo();
      throw error;
    }
    Object.assign(this, { about, most: Math.min(most, this.limits.take), frames: 0, parts: [], blocks: [] });
    Object.assign(this, { hasPlayed: false, stoppedAt: null, reason: null, state: "on" });
    this.stream.getAudioTracks()[0].addEventListener("ended", () => this.stop("gone"));
    this.capture.start();
    this.film?.start();
  }

  /** Ends the take; it is handed to `done`. */
  stop(reason = "asked") {
    if (!this.isOn) return;
    Object.assign(this, { reason, state: "ending" });
    this.capture.stop();
    if (this.stage.context.state !== "running") this.#end(); // a clock that stands still brings no last block
  }

  #keep({ samples, peak, isLast }) {
    if (this.#isWaiting && !isLast) {
      this.#tell(0, "waiting");
      return;
    }
    this.blocks.push(samples);
    this.frames += samples.length / CHANNELS;
    if (this.blocks.length >= BLOCKS_IN_PART) this.#pack();
    if (isLast) {
      this.#end();
      return;
    }
    const seconds = this.#seconds;
    const isOver = this.#isOver(seconds);
    this.#tell(peak, this.stoppedAt === null ? "recording" : "ending");
    if (seconds >= this.most) this.stop("limit");
    else if (isOver) this.stop("band");
  }

  get #seconds() {
    return this.frames / this.stage.context.sampleRate;
  }

  #tell(peak, state) {
    this.heard({ seconds: this.#seconds, peak, state });
  }

  /** A take waits while the band is paused; with a camera it doesn't, so that both stay in step. */
  get #isWaiting() {
    return this.stage.paused && !this.film;
  }

  /** Puts blocks away where the browser may keep them outside of its memory. */
  #pack() {
    this.parts.push(new Blob(this.blocks));
    this.blocks = [];
  }

  /** Whether the band has played, has stopped and has died away. */
  #isOver(seconds) {
    this.hasPlayed ||= this.stage.playing;
    if (!this.hasPlayed || this.stage.playing || this.stage.paused) this.stoppedAt = null;
    else this.stoppedAt ??= seconds;
    return this.stoppedAt !== null && seconds - this.stoppedAt >= this.limits.ring;
  }

  async #end() {
    if (this.state === "off") return;
    this.state = "off";
    this.#pack();
    const { parts, reason } = this;
    const film = await this.film?.stop();
    const rate = this.stage.context.sampleRate;
    const take = new Take({ blob: new Blob(parts), rate, about: this.about, film });
    this.#letGo();
    this.done(take, reason);
  }

  #letGo() {
    this.capture?.close();
    this.film?.close();
    if (this.stream) closeMicrophone(this.stream);
    for (const track of this.camera?.getTracks() ?? []) track.stop();
    Object.assign(this, { capture: null, film: null, stream: null, camera: null, parts: [], blocks: [], state: "off" });
    this.stage.leave(USER);
  }
}
