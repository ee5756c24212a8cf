// Playing live: the audio context, the band in it, the clock that keeps the player ahead.

import { Band, prepareBand } from "./band.js";
import { EVERY_MS, makeClock } from "./clock.js";
import { lateFrames } from "./leveller.js";
import { PausingPlayer } from "./pausing.js";
import { partNotes, SOLO } from "../music/track.js";

const AHEAD_SECONDS = 1; // a slow phone is busy with the screen for so long; more after a late call
const MOST_AHEAD_SECONDS = 2.5;
const STEP_SECONDS = 0.1; // notes are handed on in steps, so that the next ones of all parts come first
const HIDDEN_AHEAD_SECONDS = 2.5; // a browser may call a hidden page only once a second
const SPARE = 2.5; // how much longer the look-ahead is than the longest time between two calls
const LEAD_SECONDS = 0.015; // from the press to the first note, longer on a slow device
const MOST_LEAD_SECONDS = 0.2;
const ASLEEP_SECONDS = 2; // a page that is called so long after its last note was held up, as by a device that slept
const REST_AFTER_MS = 4000;
const CHANGE_SECONDS = 0.03; // from a change of key or tempo to the first note of it
const SILENT_AFTER_MS = 3000; // a clock that stands still so long has no device
const SILENT_CALLS = SILENT_AFTER_MS / EVERY_MS; // counted in calls, because a device that sleeps makes none

export class Stage {
  /**
   * over: called at the end of the track. heard: called with each note. held: called with true when
   * the device takes the sound away, as for a telephone call, with false when it gives it back.
   * silent: called when a press of play has brought no sound, because there is no audio device; with true
   * when the device has gone while the band played, which is paused then.
   */
  constructor(settings, sounds, { over, heard, held, silent }) {
    Object.assign(this, { settings, sounds, over, heard, silent, tellHeld: held, ahead: AHEAD_SECONDS });
    this.#wake();
    this.clock = makeClock(() => {
      this.keepAhead();
      this.ticked();
    });
    this.running = false;
    this.users = new Set();
    this.lead = 0; // seconds before the first note that a voice needs
    this.ticked = () => {}; // called every few milliseconds while the band plays
  }

  /** Makes the context; the browser keeps it silent until a press of play. */
  #wake() {
    if (navigator.audioSession) navigator.audioSession.type = "playback"; // sounds on a phone set to silent
    this.context = new AudioContext({ latencyHint: "interactive" });
  }

  /** Makes the band in the context, as soon as that is ready for it; before that nothing is played. */
  async ready() {
    await prepareBand(this.context, this.sounds);
    const { settings } = this;
    for (const part of settings.track.parts) partNotes(settings.track, settings.key, part.name, "round", settings.solo);
    this.band = new Band(this.context, settings.track, this.sounds, (part) => settings.loudness(part));
    this.player = new PausingPlayer(settings.track, this.band, settings, this.heard);
    this.work = this.#rehearse();
    this.context.addEventListener("statechange", () => {
      this.running ||= this.context.state === "running";
      this.tellHeld(this.held);
    });
    document.addEventListener("visibilitychange", () => this.playing && this.#seen());
  }

  /**
   * Plays the beginning twice where nobody hears it. Returns the seconds that it took the second time to hand
   * on its first notes: the program is as quick then as it will be.
   */
  #rehearse() {
    const { track } = this.settings;
    const context = new OfflineAudioContext(2, 1, this.context.sampleRate);
    const wishes = Object.assign(this.settings.copy(), { countIn: false, tuningNote: false });
    const player = new PausingPlayer(track, new Band(context, track, this.sounds, () => 1), wishes);
    let begun = 0;
    for (let time = 0; time < 2; time++) {
      begun = performance.now();
      player.start(0);
      player.advance(STEP_SECONDS);
    }
    return (performance.now() - begun) / 1000;
  }

  /** The time of the context from which on a change is heard, with so many seconds left at least to hand it on. */
  soon(seconds, steps) {
    return this.context.currentTime + Math.max(seconds, Math.min(MOST_LEAD_SECONDS, steps * this.work));
  }

  get playing() {
    return this.player.stage !== "stopped";
  }

  /** Whether the device stopped the sound while the band played: its clock stands still meanwhile. */
  get held() {
    return this.playing && this.running && this.context.state !== "running";
  }

  /** Whether the student has paused the band. */
  get paused() {
    return this.player.paused !== null;
  }

  pause() {
    if (!this.playing) return;
    this.player.pause(this.context.currentTime);
    this.rest();
  }

  /** Goes on where the student has paused, or the device stopped the sound. */
  goOn() {
    if (this.paused) this.#begin((at) => this.player.goOnAt(at));
    return this.context.resume().catch(() => {});
  }

  #seen() {
    this.keepAhead();
    if (this.held && !document.hidden) this.goOn();
  }

  play() {
    this.#begin((at) => this.player.start(at));
    this.goOn();
  }

  /** Starts. The context's clock stands still until the browser lets it run, so no note is late. */
  #begin(start) {
    clearTimeout(this.resting);
    this.called = null;
    this.pressed = this.context.currentTime;
    this.still = 0;
    this.running = this.context.state === "running";
    start(this.soon(Math.max(LEAD_SECONDS, this.lead), 2));
    this.keepAhead();
    this.clock.start();
  }

  stop() {
    this.player.stop(this.context.currentTime);
    this.rest();
  }

  /** Whether the context's clock has stood still for so long that there is no device. */
  #isSilent(now) {
    this.still = now === this.seen && !this.held ? this.still + 1 : 0;
    this.seen = now;
    return this.still >= SILENT_CALLS;
  }

  /** Stops if no sound has come after a press; pauses if the device has gone since. */
  #lose(now) {
    const isLost = now > this.pressed;
    if (isLost) this.pause();
    else this.stop();
    this.silent(isLost);
  }

  /**
   * Keeps the context running while the band rests, for a user that goes by a name; settled when it runs,
   * refused where it does not start. Called from a press.
   */
  use(name) {
    this.users.add(name);
    clearTimeout(this.resting);
    const waited = new Promise((_, refuse) => setTimeout(refuse, SILENT_AFTER_MS, new Error("no audio device")));
    return Promise.race([this.context.resume(), waited]);
  }

  /** Lets the context rest again, unless the band or another user needs it. */
  leave(name) {
    this.users.delete(name);
    if (!this.playing) this.rest();
  }

  /** Suspends the context when the last sound has died away. */
  rest() {
    this.clock.stop();
    clearTimeout(this.resting);
    this.resting = setTimeout(() => this.users.size || this.context.suspend(), REST_AFTER_MS);
  }

  keepAhead() {
    const now = this.context.currentTime;
    if (this.playing && this.#isSilent(now)) return this.#lose(now);
    if (this.playing && now - this.player.time > ASLEEP_SECONDS) return this.#slept();
    const ahead = this.#lookAhead(now);
    for (let step = STEP_SECONDS; step < ahead; step += STEP_SECONDS) this.player.advance(now + step, now);
    this.player.advance(now + ahead, now);
    this.called = document.hidden ? null : now;
    if (this.player.stage === "stopped" && now > this.player.time) {
      this.rest();
      this.over();
    }
  }

  /** Pauses where the music ended because the page was held up. */
  #slept() {
    this.player.pause(this.player.time);
    this.rest();
    this.tellHeld(true);
  }

  /** Seconds to look ahead: more after a late call, because a slow machine will be late again. */
  #lookAhead(now) {
    if (document.hidden) return HIDDEN_AHEAD_SECONDS;
    if (this.called === null) return this.ahead;
    this.ahead = Math.min(MOST_AHEAD_SECONDS, Math.max(this.ahead, SPARE * (now - this.called)));
    return this.ahead;
  }

  setMix() {
    for (const part of [...this.settings.parts, "count-in"]) {
      this.band.setLoudness(part, this.settings.loudness(part));
    }
  }

  /** Plays by some settings from now on: the page's own, or those by which a solo is listened to. */
  playBy(settings) {
    this.settings = settings;
    this.player.wishes = settings;
    this.setMix();
    this.changeTempo();
    this.changeSolo();
  }

  changeKey() {
    if (this.playing) this.player.rejoin(this.soon(CHANGE_SECONDS, 4));
  }

  /** Takes the turns that are set from the next bar line on. */
  changeTurns() {
    if (!this.playing && !this.paused) return;
    this.player.changeTurns(this.soon(CHANGE_SECONDS, 4));
    if (this.playing) this.keepAhead();
  }

  /** The student says whether a round was clean. */
  judge(isClean) {
    if (this.playing) this.player.judge(isClean, this.context.currentTime - this.late);
  }

  changeSolo() {
    if (this.playing) this.player.rejoin(this.soon(CHANGE_SECONDS, 4), [SOLO]);
  }

  changeTempo() {
    if (!this.playing) return;
    this.player.retime(this.soon(CHANGE_SECONDS, 4));
    this.keepAhead();
  }

  /** Ends the open line that is played after this time round, or takes that back. */
  endLine(wanted) {
    this.player.goOn(wanted);
  }

  /** jump: goes to the first of the bars even from another one of them. */
  changeBars(jump = false) {
    if (this.paused && (jump || !this.player.isPausedInside)) this.stop();
    if (!this.playing) return;
    this.player.restretch(this.soon(LEAD_SECONDS, 2), jump);
    this.keepAhead();
  }

  /** Seconds from the context's time to the loudspeaker. */
  get late() {
    const device = this.context.outputLatency || this.context.baseLatency || 0;
    return device + lateFrames(this.context) / this.context.sampleRate;
  }

  /** The place in the music that leaves the speaker now; null before the first start. */
  place() {
    const { player } = this;
    if (player.paused) return { ...player.paused, key: this.settings.key, machine: null };
    if (!player.marks) return null;
    const place = player.placeAt(this.context.currentTime - this.late);
    if (!place) return null;
    const { goesOn, ladder } = player;
    return { ...place, goesOn, machine: player.toldAt(place), soon: player.toldAfter(place), steps: ladder.steps };
  }
}
