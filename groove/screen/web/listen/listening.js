// Listening to the form as it stands: fetches its music and its sounds, plays it, and says where it is.

import { Wishes } from "../../practice/music/wishes.js";
import { barAt } from "../../practice/music/road.js";

const PLAYER = "./player.js"; // loaded while the first music is made, so that the page is there sooner

export class Listening {
  /**
   * told: called with "loading", "ready", "playing", "stopped", or "trouble" and its words. fetched: fetches
   * JSON from an address of the server.
   */
  constructor({ told, fetched }) {
    Object.assign(this, { told, fetched, stage: null, places: [], decoded: { number: 0, sounds: null }, isSilent: false });
    this.asking = null;
    this.music = null; // as it was fetched last
    this.chosen = { tempo: null, key: null }; // apart from the form; null: its own
    this.bars = null; // {from, to} of the track, from 1, that go round and round; null for all
  }

  /** Fetches the music as the form is now; what plays goes over to it. A call while one runs comes after it. */
  async refresh() {
    if (this.asking) {
      this.again = true;
      return this.asking;
    }
    this.asking = this.#fetchAll();
    try {
      await this.asking;
    } catch (error) {
      reportError(error);
      this.told("trouble", "failed");
    } finally {
      this.asking = null;
    }
    if (!this.again) return undefined;
    this.again = false;
    return this.refresh();
  }

  async #fetchAll() {
    if (!this.stage) this.told("loading");
    const { key } = this.chosen;
    let music;
    try {
      music = await this.fetched(key === null ? "music" : `music?key=${key}`);
      if (music.sounds !== this.decoded.number) {
        this.told("loading");
        const { decodeSounds } = await import(PLAYER);
        const sounds = await decodeSounds(await this.fetched(`sounds/${music.sounds}`));
        this.decoded = { number: music.sounds, sounds };
      }
    } catch (error) {
      this.told("trouble", error.message);
      return;
    }
    this.#forgetChosen(music.track);
    this.music = music;
    const wishes = this.#wishesFor(music.track, key);
    const { sounds } = this.decoded;
    this.places = music.places;
    if (this.stage) this.stage.goOver(wishes, sounds);
    else await this.#open(wishes, sounds);
    this.told(this.stage.playing ? "playing" : "ready");
  }

  /** Lets a tempo or a key go that was chosen for a form that now has another one: the last to be set is heard. */
  #forgetChosen(track) {
    const before = this.music?.track;
    if (before && before.tempo !== track.tempo) this.chosen.tempo = null;
    if (before && before.home !== track.home) this.chosen.key = null;
  }

  /** The wishes for a track: as the form has it, with what is set here; key: the one that its notes were asked for. */
  #wishesFor(track, key) {
    const wishes = new Wishes(track);
    wishes.reset();
    if (this.chosen.key !== null && key !== null) wishes.key = key;
    if (this.chosen.tempo !== null) wishes.setTempo(this.chosen.tempo);
    const before = this.stage?.settings;
    if (before) {
      wishes.muted = new Set([...before.muted].filter((part) => wishes.parts.includes(part)));
    }
    wishes.forEver = true;
    if (this.bars) wishes.setLoop(Math.min(this.bars.from, track.bars), Math.min(this.bars.to, track.bars), true);
    return wishes;
  }

  async #open(wishes, sounds) {
    const { LiveStage } = await import(PLAYER);
    const stage = new LiveStage(wishes, sounds, {
      over: () => this.told("stopped"),
      heard: (note) => this.heard?.(note),
      held: () => {},
      silent: () => this.told("trouble", "no-device"),
    });
    await stage.ready();
    this.stage = stage;
  }

  /** Lets nothing be played, as of an empty form, or lets it be played again. */
  beSilent(isSilent) {
    this.isSilent = isSilent;
    if (isSilent && this.playing) this.stage.stop();
    this.told(this.stage ? "stopped" : "waiting");
  }

  get playing() {
    return this.stage?.playing ?? false;
  }

  playOrStop() {
    if (!this.stage || this.isSilent) return;
    if (this.playing) this.stage.stop();
    else this.stage.play();
    this.told(this.playing ? "playing" : "stopped");
  }

  /** The tempo and the number of the key of the form itself. */
  get own() {
    const { tempo, home } = this.music.track;
    return { tempo, key: home };
  }

  /** The tempo and the number of the key in which it is heard. */
  get sounding() {
    const { tempo, key } = this.own;
    return { tempo: this.chosen.tempo ?? tempo, key: this.chosen.key ?? key };
  }

  /** Plays at another tempo at once; null: at the form's. */
  chooseTempo(tempo) {
    const { settings } = this.stage;
    settings.setTempo(tempo ?? this.own.tempo);
    this.chosen.tempo = settings.tempo === this.own.tempo ? null : settings.tempo;
    this.stage.changeTempo();
  }

  /** Plays in another key from the next bar line on, by its number; null: in the form's. */
  chooseKey(key) {
    const asked = key === this.own.key ? null : key;
    if (asked === this.chosen.key) return;
    this.chosen.key = asked;
    this.refresh();
  }

  /** Plays some bars of the track round and round, from 1; null: all of it. */
  loop(bars) {
    this.bars = bars;
    if (!this.stage) return;
    const { settings } = this.stage;
    settings.setLoop(bars?.from ?? 1, bars?.to ?? settings.track.bars, true);
    this.stage.changeBars();
  }

  /** Where each part is in the mix that is heard: {level (dB), place (-100 to 100), usual, asked}. */
  get mix() {
    return this.music?.mix ?? {};
  }

  /** Makes a part as loud at once as the form will soon have it, in dB; until its music comes. */
  tryLevel(part, level) {
    const { settings } = this.stage;
    settings.volume[part] = 10 ** ((level - this.mix[part].level) / 40); // what is heard goes with its square
    this.stage.setMix();
  }

  /** Moves a part at once to about where the form will soon have it, -100 to 100; until its music comes. */
  tryPlace(part, place) {
    this.stage.tryPlace(part, (place - this.mix[part].place) / 100);
  }

  /** The place that is heard now: {section, bar} as written, from 0, or {counting: true}; null in silence. */
  place() {
    if (!this.playing) return null;
    const place = this.stage.place();
    if (!place) return null;
    if (place.stage !== "playing") return { counting: place.stage === "counting" };
    const { track } = this.stage.settings;
    const [section, bar] = this.places[barAt(track, place.tick) % this.places.length] ?? [0, 0];
    return { section, bar };
  }
}
