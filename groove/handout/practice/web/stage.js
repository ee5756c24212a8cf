// Playing live: the audio context, the band in it, the clock that keeps the player ahead.

import { Band } from "./band.js";
import { makeClock } from "./clock.js";
import { Player } from "./player.js";

const AHEAD_SECONDS = 0.25;
const HIDDEN_AHEAD_SECONDS = 2.5; // a browser may call a page that nobody sees once a second only
const LEAD_SECONDS = 0.015; // from the press to the first note
const REST_AFTER_MS = 4000;
const CHANGE_SECONDS = 0.03; // from a change of key to the first note in it

export class Stage {
  /**
   * over: is told when the track has come to its end. heard: is told each note. held: is told
   * whether the device has taken the sound away, as for a telephone call.
   */
  constructor(settings, sounds, { over, heard, held }) {
    Object.assign(this, { settings, sounds, over, heard });
    this.#wake();
    this.clock = makeClock(() => this.#keepAhead());
    this.running = false;
    this.context.addEventListener("statechange", () => {
      this.running ||= this.context.state === "running";
      held(this.held);
    });
    document.addEventListener("visibilitychange", () => this.playing && this.#seen());
  }

  /**
   * Makes the context and the band in it: silent until a press lets it run, but there at once then.
   */
  #wake() {
    if (navigator.audioSession) navigator.audioSession.type = "playback"; // heard though the phone is on silent
    this.context = new AudioContext({ latencyHint: "interactive" });
    const { settings } = this;
    this.band = new Band(this.context, settings.track, this.sounds, (part) => settings.loudness(part));
    this.player = new Player(settings.track, this.band, settings, this.heard);
  }

  get playing() {
    return this.player.stage !== "stopped";
  }

  /** Whether the device stopped the sound while the band played: its clock stands still meanwhile. */
  get held() {
    return this.playing && this.running && this.context.state !== "running";
  }

  /** Goes on where the device stopped the sound. */
  goOn() {
    return this.context.resume().catch(() => {});
  }

  #seen() {
    this.#keepAhead();
    if (this.held && !document.hidden) this.goOn();
  }

  /** Starts. The context's clock stands still until the browser lets it run, so nothing is late. */
  play() {
    clearTimeout(this.resting);
    this.running = this.context.state === "running";
    this.goOn();
    this.player.start(this.context.currentTime + LEAD_SECONDS);
    this.#keepAhead();
    this.clock.start();
  }

  stop() {
    this.player.stop(this.context.currentTime);
    this.#rest();
  }

  /** Lets the machine sleep when the last sound has died away. */
  #rest() {
    this.clock.stop();
    clearTimeout(this.resting);
    this.resting = setTimeout(() => this.context.suspend(), REST_AFTER_MS);
  }

  #keepAhead() {
    const now = this.context.currentTime;
    this.player.advance(now + (document.hidden ? HIDDEN_AHEAD_SECONDS : AHEAD_SECONDS), now);
    if (this.player.stage === "stopped" && now > this.player.time) {
      this.#rest();
      this.over();
    }
  }

  setMix() {
    for (const part of [...this.settings.parts, "count-in"]) {
      this.band.setLoudness(part, this.settings.loudness(part));
    }
  }

  changeKey() {
    if (this.playing) this.player.rejoin(this.context.currentTime + CHANGE_SECONDS);
  }

  changeBars() {
    if (!this.playing) return;
    this.player.restretch(this.context.currentTime + LEAD_SECONDS);
    this.#keepAhead();
  }

  /** Where the music is that leaves the speaker now; null when nothing plays. */
  place() {
    if (!this.player.marks) return null;
    const late = this.context.outputLatency || this.context.baseLatency || 0;
    return this.player.placeAt(this.context.currentTime - late);
  }
}
