// Play, stop and go on: what a press does, what the button says, and the screen that follows the music.

import { onForget } from "./kept/kept.js";
import { onKey } from "./kept/keys.js";
import { Media } from "./kept/media.js";
import { barAt, barLine, keyName, secondsBetween } from "./music/road.js";
import { nextSection, sectionAt, sectionsOf } from "./music/sections.js";
import { tonicIn } from "./music/track.js";
import { say } from "./music/words.js";
import { goOnWords } from "./screen/road_view.js";
import { keepAwake } from "./sound/awake.js";

const REACHED_MS = 1000;

const $ = (id) => document.getElementById(id);

export class Transport {
  /**
   * show: called where the controls have to show the settings, as after a round that has changed
   * them. before, after: called before the music begins and when it has stopped. followed: called with the
   * place in the music before each picture. skip: called with the bars to go to. minutes, reached: what is
   * practised. machines: follows what the practice machines do.
   */
  constructor(settings, view, { show, before, after, followed, skip, minutes, reached, machines }) {
    Object.assign(this, { settings, view, show, before, after, followed, skip, minutes, reached, machines });
    Object.assign(this, { stage: null, round: null });
    this.media = new Media(this.#acts(), () => this.stage.playing && !this.stage.held && this.pauseOrGoOn());
    $("play").addEventListener("click", () => this.playOrStop());
    $("pause").addEventListener("click", () => (this.stage.paused ? this.stop() : this.pauseOrGoOn()));
    $("go-on").addEventListener("click", () => this.#endLine());
    onKey(" ", "keys.play", () => this.playOrStop());
    onKey("p", "keys.pause", () => this.pauseOrGoOn());
    onKey(",", "keys.start", () => this.toStart());
    onKey(".", "keys.section", () => this.toNext(), { when: () => sectionsOf(settings.track).length > 1 });
    onKey("g", "keys.go_on", () => this.#endLine(), { when: () => Boolean(settings.track.road) });
    onForget(() => reached.reset());
  }

  /** Plays on a stage from now on. */
  useStage(stage) {
    this.stage = stage;
    $("play").disabled = false;
    this.#showPlaying(false);
  }

  /** The place in the music with the key and the tempo that are set; null while nothing plays. */
  get place() {
    const { key, tempo } = this.settings;
    return this.stage?.playing || this.stage?.paused ? { ...this.stage.place(), key, tempo } : null;
  }

  /** Shows that what was paused is no longer in the bars that are practised. */
  refresh() {
    if (this.isPaused && !this.stage.paused) this.over();
  }

  /** Plays, stops, or goes on where the music was paused or the device stopped it. */
  playOrStop() {
    const { stage } = this;
    if (!stage) return;
    if (stage.held) stage.goOn();
    else if (stage.playing) this.stop();
    else this.#play(() => (stage.paused ? stage.goOn() : stage.play()));
  }

  /** Stops the music. */
  stop() {
    this.stage.stop();
    this.over();
    this.reached.reset();
  }

  /** Pauses in the middle of a bar, or goes on from there. */
  pauseOrGoOn() {
    const { stage } = this;
    if (!stage || (!stage.playing && !stage.paused)) return;
    if (stage.paused || stage.held) {
      this.playOrStop();
      return;
    }
    stage.pause();
    this.machines.rest();
    this.reached.reset();
    $("go-on").hidden = true;
    this.#showPlaying(false);
    this.view.refresh(this.place);
  }

  /** Goes to the first of the bars that are practised. */
  toStart() {
    if (this.stage?.paused) this.stop();
    else this.stage?.changeBars(true);
  }

  /** Goes on from an open line, or to the next section. */
  toNext() {
    const { settings, stage } = this;
    if (!$("go-on").hidden && stage.player.goesOn === null) {
      this.#endLine();
      return;
    }
    const section = nextSection(settings.track, this.#bar);
    if (section) this.skip(section.from, section.to);
  }

  /** The bar that sounds or was paused, from 1; the first that is practised while none does. */
  get #bar() {
    const { track, from } = this.settings;
    const { place } = this;
    return place?.stage === "playing" ? (barAt(track, place.tick) % track.bars) + 1 : from;
  }

  /** What the media keys do. */
  #acts() {
    const goOn = () => this.stage?.playing && !this.stage.held;
    const acts = {
      play: () => goOn() || this.playOrStop(),
      pause: () => goOn() && this.pauseOrGoOn(),
      stop: () => (this.stage?.playing || this.stage?.paused) && this.stop(),
      previoustrack: () => this.toStart(),
    };
    if (sectionsOf(this.settings.track).length > 1) acts.nexttrack = () => this.toNext();
    return acts;
  }

  /** Tells the device what plays, for its lock screen. */
  #tell() {
    const { settings, place } = this;
    const { track, written } = settings;
    const section = sectionAt(track, this.#bar)?.name;
    const key = keyName(track, tonicIn(track, place?.key ?? settings.key, written));
    const words = {
      title: track.title,
      artist: section ?? say("kept.media_round", { round: (place?.round ?? 0) + 1 }),
      album: say("kept.media_about", { key, tempo: settings.tempo }),
    };
    this.media.tell(words, this.#position(place));
  }

  /** The seconds of the bars that go round, and how many of them are over; null for a road with an open line. */
  #position(place) {
    const { track, from, to, tempo } = this.settings;
    if (track.road?.lines.some(({ open }) => open)) return null;
    const first = (place?.chorus ?? 0) * track.bars;
    const [start, end] = [barLine(track, first + from - 1), barLine(track, first + to)];
    const between = (one, other) => secondsBetween(track, one, other, tempo);
    return { duration: between(start, end), position: place?.stage === "playing" ? between(start, Math.max(start, place.tick)) : 0 };
  }

  #play(start) {
    for (const id of ["trouble", "opened"]) $(id).hidden = true;
    this.before();
    start();
    this.#showPlaying(true);
    requestAnimationFrame(() => this.#follow());
  }

  /** The music has come to its end. */
  over() {
    this.#reach();
    this.after();
    $("go-on").hidden = true;
    this.machines.rest();
    this.#showPlaying(false);
    this.show();
    this.view.refresh();
  }

  /** Shows that the device took the sound away, as for a telephone call, or gave it back. */
  held(isHeld) {
    this.#showPlaying(this.stage.playing);
    if (isHeld) $("said").textContent = say("trouble.held");
  }

  /** Shows that a press of play brought no sound, or that the device has gone. */
  silent(isLost) {
    this.over();
    $("trouble").textContent = say(isLost ? "trouble.lost" : "trouble.silent");
    $("trouble").hidden = false;
  }

  #showPlaying(playing) {
    const { held, paused } = this.stage;
    this.isPaused = paused;
    $("play-word").textContent = say(held || paused ? "play.resume" : playing ? "play.stop" : "play.play");
    $("play").classList.toggle("playing", playing);
    $("play").classList.toggle("held", held);
    $("pause").hidden = !playing && !paused;
    $("pause").classList.toggle("stops", paused);
    $("pause").setAttribute("aria-label", say(paused ? "play.stop" : "play.pause"));
    this.media.show(playing && !held);
    if (playing || paused) this.#tell();
    keepAwake(playing);
    this.minutes.run("band", playing);
    clearInterval(this.reaching);
    if (playing) this.reaching = setInterval(() => this.#reach(), REACHED_MS);
  }

  /** Follows how far the student comes; a timer does so too where no picture is drawn. */
  #reach() {
    const { stage } = this;
    if (stage.playing) this.#tell();
    if (stage.settings !== this.settings) this.reached.reset(); // an example is listened to
    else this.reached.follow(stage.context.currentTime, (time) => stage.player.placeAt(time), this.settings);
  }

  #endLine() {
    if (!this.stage || $("go-on").hidden) return;
    this.stage.endLine(this.stage.player.goesOn === null);
    this.#showGoOn();
  }

  /** Shows the button that ends an open line, while one goes round. */
  #showGoOn() {
    const { settings } = this;
    if (!settings.track.road) return;
    const { waiting, goesOn } = this.stage.player;
    $("go-on").hidden = !waiting;
    if (!waiting) return;
    const asked = goesOn === waiting.line;
    const words = goOnWords(settings.track, waiting, asked, settings);
    if ($("go-on").textContent !== words) $("go-on").textContent = words;
    $("go-on").setAttribute("aria-pressed", String(asked));
  }

  /** Before each picture: shows the place in the music. */
  #follow() {
    const { stage } = this;
    if (!$("play").classList.contains("playing")) return; // the student has stopped
    if (!stage.playing && stage.player.time < stage.context.currentTime) return;
    const place = stage.place();
    if (place && place.stage !== "stopped") {
      if (place.round !== this.round) this.show();
      this.round = place.round;
      this.machines.follow(place, stage.player.ladder); // whose turn it is goes before the chord
      this.view.follow(place);
      this.view.speech.sayFirst(performance.now());
      this.followed(place);
      this.#showGoOn();
    }
    requestAnimationFrame(() => this.#follow());
  }
}
