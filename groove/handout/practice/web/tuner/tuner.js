// The tuner: listens to the instrument and says how far a string or a note is off, and sounds notes to
// tune by; one of both at a time, unless the student wears headphones.

import { hertzOf } from "./aim.js";
import { Listener } from "./listener.js";
import { NoMicrophone } from "../sound/microphone.js";
import { Steady } from "./steady.js";
import { Tuned } from "./tuned.js";
import { TunerView } from "./tuner_view.js";
import { TuningNotes } from "./tuning_notes.js";
import { say } from "../music/words.js";

/** A note is in tune within so many whole cents: what most players hear as clean (common practice, our choice). */
const IN_TUNE = 3;
const FAR = 100; // cents: a semitone
const OTHER = 350; // cents: what is further from a string is another one; three semitones are a string to be tuned
const OCTAVE = 12; // semitones
const STAYS_WHOLE = 0.6; // cents: so far a reading may be from the whole number that is shown
const GONE_MS = 2500; // how long a reading stays after the note
const WAITS_MS = 4000; // for a clear note, until a sentence says what is wrong
const QUIET = 10 ** (-60 / 20); // below this level nothing is heard

export class Tuner {
  /**
   * settings: of the page. sounds: a function that returns its sounds, null until they are decoded. hush: stops
   * what the page plays. unfold: brings the panel into view. tell: shows a state beside the play button, "" for none. kept: keeps values on the device.
   */
  constructor(settings, { sounds, hush, unfold, tell, kept }) {
    Object.assign(this, { settings, hush, tell, open: unfold, opening: false, goesOn: false, trouble: null });
    this.listener = new Listener((pitch) => this.#hear(pitch), () => this.#stopListening(say("tuner.lost")));
    this.notes = new TuningNotes(settings.track, sounds);
    this.steady = new Steady();
    this.tuned = new Tuned(settings, kept);
    this.view = new TunerView(this.tuned, IN_TUNE, {
      listen: () => this.toggle(),
      choose: (what) => this.#choose(what),
      fix: (string) => this.#fix(string),
      sound: (pitch) => this.#sound(pitch),
      close: () => this.#close(),
    });
    this.#forgetReading();
    this.refresh();
  }

  /** Shows the settings of the page; another tuning that is drawn there is tuned here. */
  refresh() {
    const { written, key, track } = this.settings;
    if (this.tuned.followPage()) this.#forgetReading();
    const shown = this.tuned.tuning ? this.tuned.what : `${written} ${key}`;
    if (shown !== this.shown) {
      this.notes.stop();
      this.view.writeButtons();
      this.#forgetReading();
    }
    this.shown = shown;
    this.view.showStates({ listens: this.listener.listens, fixed: this.tuned.fixed, pitch: this.notes.pitch });
    this.view.tellAbout(this.trouble, track.a4, IN_TUNE, this.tuned.reader);
    if (!this.reading) this.view.showNothing(this.#invitation);
    if (this.goesOn && this.notes.pitch === null) this.toggle();
  }

  /** Follows the page again, because what is kept on the device is forgotten. */
  forget() {
    this.tuned.follow();
    this.#forgetReading();
    this.refresh();
  }

  /** The sentence for a student of whom nothing is heard. */
  get #invitation() {
    if (this.opening) return "tuner.asks";
    const what = this.tuned.tuning ? "string" : "note";
    if (this.goesOn && this.notes.pitch !== null) return `tuner.waits.${what}`;
    return `tuner.${this.listener.listens ? "play" : "start"}.${what}`;
  }

  /** Falls silent and stops listening, because the page begins to play. */
  giveWay() {
    this.goesOn = false;
    if (this.notes.pitch !== null) {
      this.notes.stop();
      this.refresh();
    }
    if (this.view.headphones) return;
    this.isWanted = false;
    this.#stopListening();
  }

  /** Listens, or stops listening; called from a press. */
  async toggle() {
    if (this.opening) return;
    this.goesOn = false;
    if (this.listener.listens) {
      this.#stopListening();
      return;
    }
    if (!this.view.headphones) {
      this.notes.stop();
      this.hush();
    }
    await this.#listen();
    this.refresh();
  }

  /** Listens with the panel in view, or stops listening. */
  press() {
    if (!this.listener.listens) this.open();
    return this.toggle();
  }

  /** Falls silent and stops listening, because the panel is out of sight, and so the buttons that stop it. */
  #close() {
    Object.assign(this, { goesOn: false, isWanted: false });
    this.#stopListening();
    if (this.notes.pitch === null) return;
    this.notes.stop();
    this.refresh();
  }

  async #listen() {
    Object.assign(this, { opening: true, isWanted: true, trouble: null });
    this.refresh();
    try {
      await this.listener.start();
      if (!this.isWanted) return this.listener.stop();
      this.heardAt = this.clearAt = performance.now();
      this.tell(say("tuner.listens"));
    } catch (error) {
      if (!(error instanceof NoMicrophone)) throw error;
      this.trouble = error.message;
      this.view.announce(error.message);
    } finally {
      this.opening = false;
    }
    return undefined;
  }

  #stopListening(trouble = null) {
    if (!this.listener.listens) return;
    this.listener.stop();
    this.trouble = trouble;
    this.tell("");
    this.#forgetReading();
    this.view.announce(trouble ?? "");
    this.refresh();
  }

  #choose(what) {
    this.tuned.choose(what);
    this.#forgetReading();
    this.refresh();
  }

  #fix(string) {
    this.tuned.fixed = string;
    this.#forgetReading();
    this.refresh();
  }

  /** Sounds a note to tune by, or stops it; what listened before does so again when it has stopped. */
  #sound(pitch) {
    const isOn = this.notes.pitch === pitch;
    this.notes.stop();
    if (!isOn) {
      const goesOn = this.goesOn || (!this.view.headphones && (this.listener.listens || this.opening));
      this.goesOn = false;
      if (!this.view.headphones) {
        this.isWanted = false;
        this.#stopListening();
      }
      this.hush();
      this.notes.start(pitch, this.tuned.tuning?.instrument);
      this.goesOn = goesOn && this.notes.pitch !== null;
      if (this.goesOn) this.view.announce(say(this.#invitation));
    }
    this.refresh();
  }

  #forgetReading() {
    this.steady.reset();
    this.reading = null;
    this.view.forget();
    if (this.listener.listens) this.tell(say("tuner.listens"));
  }

  /** Takes what the microphone heard in the last moment. */
  #hear({ hertz, level }) {
    const now = performance.now();
    if (level > QUIET) this.heardAt = now;
    const steady = this.steady.take(hertz);
    if (steady !== null) {
      this.clearAt = now;
      this.#read(steady);
    } else if (now - this.clearAt > GONE_MS) {
      this.reading = null;
      this.tell(say("tuner.listens"));
      const isLong = now - this.clearAt > WAITS_MS;
      const isQuiet = now - this.heardAt > WAITS_MS;
      if (isQuiet) this.view.showNothing("tuner.nothing_heard", true);
      else if (isLong && level > QUIET) this.view.showNothing("tuner.unclear", true);
      else this.view.showNothing(this.#invitation);
    }
  }

  /** Shows a steady frequency. */
  #read(hertz) {
    const aim = this.tuned.aim(hertz, this.reading);
    const isSame = ["pitch", "string", "isOctave"].every((what) => this.reading?.[what] === aim[what]);
    const isNear = isSame && Math.abs(aim.cents - this.reading.whole) < STAYS_WHOLE;
    const whole = isNear ? this.reading.whole : Math.round(aim.cents);
    this.reading = {
      ...aim,
      hertz,
      whole,
      wanted: hertzOf(aim.pitch + (aim.isOctave ? OCTAVE : 0), this.settings.track.a4),
      isInTune: Math.abs(whole) <= IN_TUNE,
      isFar: Math.abs(whole) > FAR,
      isOther: Math.abs(whole) > OTHER,
    };
    const told = this.view.show(this.reading);
    if (told) this.tell(told);
  }
}
