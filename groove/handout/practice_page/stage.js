// Playing live: the audio context, the band in it, the clock that keeps the player ahead.

import { Band } from "./band.js";
import { makeClock } from "./clock.js";
import { Player } from "./player.js";

export const AHEAD_SECONDS = 0.25;
const LEAD_SECONDS = 0.015; // from the press to the first note
const REST_AFTER_MS = 4000;
const CHANGE_SECONDS = 0.03; // from a change of key to the first note in it

export class Stage {
  /** over: is told when the track has come to its end. heard: is told each note. */
  constructor(settings, sounds, { over, heard }) {
    Object.assign(this, { settings, sounds, over, heard });
    this.#wake();
    this.clock = makeClock(() => this.#keepAhead());
  }

  /**
   * Makes the context and the band in it: silent until a press lets it run, but there at once then.
   */
  #wake() {
    this.context = new AudioContext({ latencyHint: "interactive" });
    const { settings } = this;
    this.band = new Band(this.context, settings.track, this.sounds, (part) => settings.loudness(part));
    this.player = new Player(settings.track, this.band, settings, this.heard);
  }

  get playing() {
    return this.player.stage !== "stopped";
  }

  /** Starts. The context's clock stands still until the browser lets it run, so nothing is late. */
  play() {
    this.context.resume();
    this.player.start(this.context.currentTime + LEAD_SECONDS);
    this.player.advance(this.context.currentTime + AHEAD_SECONDS);
    this.clock.start();
  }

  stop() {
    this.player.stop(this.context.currentTime);
    this.#rest();
  }

  /** Lets the machine sleep when the last sound has died away. */
  #rest() {
    this.clock.stop();
    setTimeout(() => this.playing || this.context.suspend(), REST_AFTER_MS);
  }

  #keepAhead() {
    const now = this.context.currentTime;
    this.player.advance(now + AHEAD_SECONDS, now);
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
