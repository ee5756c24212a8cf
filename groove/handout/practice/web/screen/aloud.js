// The numbers of the count-in and the chord to come, said by a voice of the device itself, each at its time in the
// music; what would come late is left out. The band yields a little meanwhile.

import { median } from "../music/median.js";
import { spokenChord } from "../music/names.js";
import { barAt, barLine, secondsBetween, settingOf } from "../music/road.js";
import { chordAt, chordIn, isSameChord } from "../music/track.js";
import { say, wordsAt } from "../music/words.js";

const GUESSED_SECONDS = 0.25; // from the call to the voice, before it is measured
const SAMPLES = 5; // of that delay
const EARLY_SECONDS = 0.0125; // half of the time between two calls of the clock
const LATE_SECONDS = 0.1; // a word that would begin so much later than its time is left out
const SPARE_SECONDS = 0.1; // before the first number, beside the delay
const WORD_SECONDS = 0.15; // of speech, and for each letter more, before it is measured
const LETTER_SECONDS = 0.06;
const LEARNT = 1 / 3; // of what one utterance tells about the voice's pace
const FASTEST = 1.6; // times the voice's usual rate
const MS = 1000;

export class Aloud {
  /**
   * nextChord: a function from a chord's number and a place to the next chord's number and key. speech: the
   * browser's voices. now: milliseconds. trouble: called with a sentence where there is no voice, else "".
   */
  constructor(settings, { nextChord, speech = globalThis.speechSynthesis, now = () => performance.now(), trouble = () => {} }) {
    Object.assign(this, { settings, track: settings.track, nextChord, speech, now, trouble, stage: null });
    this.language = document.documentElement.lang;
    this.delays = [];
    this.slow = 1; // how much longer the voice takes than was guessed
    this.chosen = settings.aloud.size;
    this.rest();
    speech?.addEventListener?.("voiceschanged", () => this.change());
  }

  /** Gets the stage whose music is followed. */
  ready(stage) {
    this.stage = stage;
    this.change();
  }

  /** The voice: one of the device itself in the page's language, so that nothing leaves it; null for none. */
  get voice() {
    const own = (this.speech?.getVoices() ?? []).filter(({ lang, localService }) => localService && lang.split(/[-_]/)[0] === this.language);
    return own.find((voice) => voice.default) ?? own[0] ?? null;
  }

  /** Follows a change of the settings or of the voices. */
  change() {
    const { aloud } = this.settings;
    this.chosen = aloud.size;
    this.trouble(aloud.size && !this.voice ? say("hear.aloud.no_voice") : "");
    if (!this.stage) return;
    const speaks = aloud.size > 0 && this.voice !== null;
    this.stage.lead = speaks && aloud.has("count") ? this.delay + SPARE_SECONDS : 0;
    if (speaks) this.stage.ahead = Math.max(this.stage.ahead, this.delay + SPARE_SECONDS); // to know the count-in in time
  }

  /** Follows a choice: the voice is heard at once, so that its delay is known before the music begins. */
  choose() {
    const isMore = this.settings.aloud.size > this.chosen;
    this.change();
    if (isMore && this.voice && !this.stage?.playing) this.#say(say("hear.aloud.trial"), Infinity);
  }

  /** Seconds from a call until the voice begins. */
  get delay() {
    return this.delays.length ? median(this.delays) : GUESSED_SECONDS;
  }

  /** Forgets what was to be said, because the music has stopped. */
  rest() {
    this.counts = []; // {at, number}: times of the context
    this.counted = 0;
    this.told = null;
    if (this.speaking) this.speech.cancel();
    this.#over();
  }

  /** Takes in a note that is handed to the band: those of the count-in are numbered. */
  heard({ part, at, tick }) {
    if (part !== "count-in") return;
    const { barTicks } = settingOf(this.track, this.settings.from - 1);
    this.counts = this.counts.filter((count) => count.at < at);
    this.counted = Math.round(tick) % barTicks === 0 ? 1 : this.counted + 1;
    this.counts.push({ at, number: this.counted });
  }

  /** Says what is due: called every few milliseconds. */
  follow() {
    const { aloud } = this.settings;
    const place = aloud.size && this.voice ? this.stage.place() : null;
    if (!place) return;
    if (this.speaking && this.now() / MS > this.latest) {
      this.speech.cancel(); // it has not begun: what is spoken before it takes too long
      this.#over();
    }
    if (aloud.has("count")) this.#count();
    if (aloud.has("chords")) this.#tellChord(place);
  }

  #count() {
    const heardNow = this.stage.context.currentTime - this.stage.late;
    while (this.counts.length && this.#isDue(this.counts[0].at - heardNow)) {
      const { at, number } = this.counts.shift();
      const until = this.counts[0] ? this.counts[0].at - at : 1;
      const word = wordsAt("hear.aloud.numbers")[number - 1];
      if (word) this.#sayInTime(word, at - heardNow, until);
    }
  }

  #tellChord(place) {
    const found = this.#coming(place);
    if (!found || found.name === this.told) return;
    const early = found.seconds - found.beat;
    if (!this.#isDue(early)) return;
    this.told = found.name;
    if (!found.isNew) return;
    const chord = chordIn(this.track, found.number, found.key, this.settings.written);
    this.#sayInTime(spokenChord(chord.name), early, found.beat);
  }

  /**
   * The chord that comes: {number, key, name, isNew, seconds, beat}, seconds: until it sounds, beat: of a
   * beat, name: of this change of chord; null for none.
   */
  #coming(place) {
    const { track, settings } = this;
    const isCounting = place.stage === "counting";
    if (isCounting && settings.aloud.has("count")) return null; // the last number is said then
    if (!isCounting && place.stage !== "playing") return null;
    const first = settings.from - 1;
    const tick = track.road ? place.tick : place.tick % barLine(track, track.bars);
    const here = isCounting ? null : chordAt(track, tick);
    const bar = isCounting ? first : Math.min(barAt(track, track.chords[here][0] + track.chords[here][1] - 1), settings.to - 1);
    const end = isCounting ? 0 : Math.min(track.chords[here][0] + track.chords[here][1], barLine(track, bar + 1));
    const [number, key] = isCounting ? [chordAt(track, barLine(track, first)), place.key] : this.nextChord(here, place);
    if (number === null) return null;
    const seconds = isCounting || !track.road ? (end - tick) * place.perTick : secondsBetween(track, tick, end, place.tempo);
    const beat = settingOf(track, bar).beatTicks * place.perTick;
    const isNew = isCounting || key !== place.key || !isSameChord(track, here, number);
    return { number, key, name: `${place.stage} ${place.round} ${place.chorus} ${end}`, isNew, seconds, beat };
  }

  /** Whether something has to be said now, to begin in some seconds. */
  #isDue(seconds) {
    return seconds <= this.delay + EARLY_SECONDS;
  }

  /** Says words that have to begin in some seconds, unless they would come late. */
  #sayInTime(words, seconds, room) {
    const now = this.now() / MS;
    if (this.delay - seconds > LATE_SECONDS || this.#freeIn(now) - seconds > LATE_SECONDS) return;
    this.#say(words, room);
    this.latest = now + seconds + LATE_SECONDS;
  }

  /** Seconds until what is said is over, as far as is known; what takes longer than was expected has no end. */
  #freeIn(now) {
    if (!this.speaking) return -Infinity;
    return this.free > now ? this.free - now : Infinity;
  }

  /** Says words; room: the seconds in which they should be over. */
  #say(words, room) {
    const { voice, speech } = this;
    const said = new SpeechSynthesisUtterance(words);
    const usual = this.slow * (WORD_SECONDS + LETTER_SECONDS * words.length);
    const rate = Math.max(1, Math.min(FASTEST, usual / room));
    Object.assign(said, { voice, lang: voice.lang, rate });
    this.latest = Infinity;
    const called = this.now();
    const waits = this.speaking !== null; // then its delay tells nothing
    let begun = null;
    const begins = () => {
      if (begun !== null && !waits) this.delays.pop();
      begun = this.now();
      if (this.speaking === said) this.latest = Infinity;
      if (!waits) this.#keepDelay((begun - called) / MS);
      this.stage?.band.yieldTo(true);
    };
    said.onstart = begins;
    said.onboundary = ({ charIndex }) => charIndex === 0 && this.speaking === said && begins(); // the first word itself
    this.free = Math.max(waits ? this.free : 0, called / MS + this.delay) + usual / rate;
    said.onend = () => {
      if (begun !== null) this.slow *= 1 + LEARNT * ((rate * (this.now() - begun)) / MS / usual - 1);
      if (this.speaking === said) this.#over();
    };
    said.onerror = () => this.speaking === said && this.#over();
    this.speaking = said;
    speech.speak(said);
  }

  #keepDelay(seconds) {
    this.delays.push(seconds);
    if (this.delays.length > SAMPLES) this.delays.shift();
    this.change();
  }

  #over() {
    this.speaking = null;
    this.stage?.band?.yieldTo(false);
  }
}
