// Announcements to a screen reader while the band plays: seldom, and only of what has changed.

import { spoken, spokenChord } from "../music/names.js";
import { say } from "../music/words.js";

const APART_MS = 1800; // at least, so that speech keeps up and the music is heard

export class Speech {
  /** say: called with the words. */
  constructor(say) {
    this.say = say;
    this.rest();
  }

  /** Forgets everything, because the music has stopped. */
  rest() {
    this.chord = null;
    this.bar = null;
    this.round = null;
    this.key = null;
    this.at = -Infinity;
  }

  /**
   * Announces a bar that begins soon. told: "chords", "rounds" or "nothing". place: bar, round, key (a
   * name), chords, the names of those in the bar, and part, of a road, if one begins. now: milliseconds.
   *
   * A bar is named when it has another chord than the one before; a key when it is new.
   */
  follow(told, { bar, round, key, chords, part = "" }, now) {
    const newRound = this.round !== null && round !== this.round;
    const newKey = this.key !== null && key !== this.key;
    const newChord = chords.some((name) => name !== this.chord);
    Object.assign(this, { bar, round, key, chord: chords.at(-1) });
    const words = [];
    if (newRound && told === "rounds") words.push(say("speech.round", { round: round + 1 }));
    if (part && told !== "nothing") words.push(say("speech.part", { part }));
    if (newKey && told !== "nothing") words.push(say("speech.key", { key: spokenChord(key) }));
    if (newChord && told === "chords") words.push(say("speech.bar", { bar, chords: chords.map(spokenChord).join(", ") }));
    if (!words.length || now - this.at < APART_MS) return;
    this.at = now;
    this.say(spoken(words.join(" ")));
  }
}
