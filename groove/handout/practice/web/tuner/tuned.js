// The strings of a tuning, or all notes, that are tuned, and their names for the reader.

import { noteNear, stringNear } from "./aim.js";
import { noteName, pitchClass, spoken } from "../music/names.js";
import { readerIn, tonicIn } from "../music/track.js";
import { say, wordFor } from "../music/words.js";

const ANY = "any"; // the choice of any note
const KEPT = "tuner";
const TO_HEAR = [69, 70]; // where there are no strings: the A of orchestras, the B flat of bands (common practice)

export class Tuned {
  /** settings: of the page. kept: keeps the student's choice on the device. */
  constructor(settings, kept) {
    Object.assign(this, { settings, kept });
    this.page = this.#ofPage();
    this.choices = [...Object.entries(settings.tunings).map(inWords), [ANY, say("tuner.any_note")]];
    this.follow();
  }

  /** Tunes what the student chose last; but the page's own tuning of that instrument, where one is drawn. */
  follow() {
    const { tunings } = this.settings;
    const mine = this.kept.get(KEPT, "");
    const isDrawn = this.page !== ANY && tunings[mine]?.instrument === tunings[this.page].instrument;
    this.what = this.choices.some(([value]) => value === mine) && !isDrawn ? mine : this.page;
    this.fixed = null; // the string that alone is meant
  }

  /** The tuning that is drawn on the page, else any note. */
  #ofPage() {
    return this.settings.onNeck ? this.settings.tuning : ANY;
  }

  /** Tunes as the student says, one of `choices`. */
  choose(what) {
    this.what = what;
    this.fixed = null;
    this.kept.set(KEPT, what);
  }

  /** Tunes what is newly drawn on the page; returns whether that is something new. */
  followPage() {
    const before = this.page;
    this.page = this.#ofPage();
    if (this.page === before) return false;
    this.what = this.page;
    this.fixed = null;
    return true;
  }

  /** The tuning; null where any note is tuned. */
  get tuning() {
    return this.what === ANY ? null : this.settings.tunings[this.what];
  }

  /** What is to be heard to tune by, the lowest first where strings go up: {string, pitch, note, number, words}. */
  get toHear() {
    if (!this.tuning) return TO_HEAR.map((pitch) => ({ pitch, ...this.#noteNamed(pitch) }));
    return this.tuning.strings.map((pitch, string) => ({ string, pitch, ...this.#stringNamed(string) }));
  }

  /** What a frequency is meant to be, with its name: {string, pitch, cents, isOctave, note, number, words}. */
  aim(hertz, before) {
    const { a4 } = this.settings.track;
    if (!this.tuning) {
      const { pitch, cents } = noteNear(hertz, a4, before?.pitch ?? null);
      return { pitch, cents, ...this.#noteNamed(pitch) };
    }
    const found = stringNear(hertz, this.tuning.strings, a4, { before: before?.string ?? null, fixed: this.fixed });
    return { ...found, ...this.#stringNamed(found.string) };
  }

  /** The readers in words who write other notes than sound, where notes are named for them; null for others. */
  get reader() {
    return !this.tuning && this.#written ? readerIn(this.settings.track, this.settings.written) : null;
  }

  /** By how many fifths the reader writes notes higher than they sound. */
  get #written() {
    const { track, key, written } = this.settings;
    const [[concert]] = track.readers;
    return tonicIn(track, key, written) - tonicIn(track, key, concert);
  }

  /** A string's note, its number, and both in words. */
  #stringNamed(string) {
    const { names } = this.tuning;
    const note = names[string];
    const number = names.length - string;
    const isOne = names.filter((name) => name === note).length === 1;
    return { note, number, words: say(isOne ? "tuner.string" : "tuner.string_numbered", { note: spoken(note), number }) };
  }

  /** The name of a sounding pitch as the reader writes it, spelled for the key of the page. */
  #noteNamed(pitch) {
    const { track, key, written } = this.settings;
    const tonic = tonicIn(track, key, written);
    const wanted = pitchClass(pitch * 7 + this.#written); // from a place on the line of fifths
    const near = Array.from({ length: 12 }, (_, n) => tonic - 5 + n);
    const note = noteName(near.find((fifths) => pitchClass(fifths) === wanted));
    return { note, number: null, words: spoken(note) };
  }
}

function inWords([name, { instrument, words }]) {
  return [name, say("tuner.strings_of", { instrument: wordFor("instruments", instrument), tuning: words })];
}
