// Announcements to a screen reader while the band plays: only of what has changed, and no more than it can say.

import { spoken, spokenChord } from "../music/names.js";
import { say } from "../music/words.js";

const WORD_MS = 300; // that speech takes for a word of the usual length
const PAUSE_MS = 300; // before it begins
const LATE_MS = 500; // that it may be behind, at most

export class Speech {
  /** say: called with the words. */
  constructor(say) {
    this.say = say;
    this.first = []; // sentences that go before the next bar
    this.rest();
  }

  /** Forgets everything, because the music has stopped. */
  rest() {
    this.chord = null; // that was said last
    this.bar = null;
    this.round = null;
    this.key = null;
    this.names = {}; // of a round, a part and a key that are to be said still
    this.free = -Infinity; // when speech is through
  }

  /** Takes in what is to be said before a bar that is announced at the same time, as whose turn it is. */
  take(words) {
    if (words) this.first.push(say("speech.first", { words }));
  }

  /** Says what was taken in, if no bar was announced with it. now: milliseconds. */
  sayFirst(now) {
    if (this.first.length) this.#say([], now);
  }

  /**
   * Announces a bar that begins soon. told: "chords", "rounds" or "nothing". place: bar, round, key (a
   * name), chords, the names of those in the bar, part, of a road, if one begins, next, the names of the
   * chords in the bar after it, and lasts, the bar's milliseconds. now: milliseconds.
   *
   * Chords are announced where another one comes, with the number of the bar if it lasts long enough, and
   * two bars at once if they are short. Chords are left out while speech is behind; names of rounds, parts
   * and keys wait for the next bar.
   */
  follow(told, { bar, round, key, chords, part = "", next = [], lasts = Infinity }, now) {
    if (bar === this.bar && round === this.round) return;
    if (told === "nothing") this.names = {};
    else this.#name({ round, key, part });
    const isNews = told === "chords" && chords.some((name) => name !== this.chord);
    Object.assign(this, { bar, round, key });
    const names = Object.values(this.names);
    if (!this.first.length && !names.length && !isNews) return;
    if (this.first.length || now > this.free - LATE_MS) this.#say(isNews ? this.#chords(names, { bar, chords, next, lasts }) : names, now);
    else if (isNews) this.chord = null; // the next bar says it, if it still has the chord
  }

  /** Takes in the names that are new. */
  #name({ round, key, part }) {
    if (this.round !== null && round !== this.round) this.names.round = say("speech.round", { round: round + 1 });
    if (part) this.names.part = say("speech.part", { part });
    if (this.key !== null && key !== this.key) this.names.key = say("speech.key", { key: spokenChord(key) });
  }

  /** Names, and the chords of a bar as there is time for them. */
  #chords(names, { bar, chords, next, lasts }) {
    const list = chords.map(spokenChord).join(", ");
    this.chord = chords.at(-1);
    const full = [...names, say("speech.bar", { bar, chords: list })];
    if (needed(full) <= lasts) return full;
    const short = [...names, say("speech.chords", { chords: list })];
    const isPair = next.length === 1 && next[0] !== this.chord && needed(short) > lasts;
    if (!isPair) return short;
    this.chord = next[0];
    return [...names, say("speech.then", { chords: list, next: spokenChord(next[0]) })];
  }

  #say(words, now) {
    const all = [...this.first, ...words];
    this.first = [];
    if (words.length) this.names = {};
    this.free = Math.max(now, this.free) + needed(all);
    this.say(spoken(all.join(" ")));
  }
}

/** The milliseconds that speech takes for sentences. */
function needed(sentences) {
  const words = sentences.join(" ").match(/[\p{L}]+|\p{N}+/gu) ?? [];
  return PAUSE_MS + WORD_MS * words.length;
}
