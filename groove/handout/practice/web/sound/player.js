// The player: decides which note sounds when, a little ahead of the audio clock. It has no timer and
// no screen: `advance` is called every few milliseconds live, once offline.

import { bentCourse } from "../music/bends.js";
import { ringingTicks } from "../music/controllers.js";
import { Course } from "../music/course.js";
import { barAt, barLine, beatFrom, isHeld, roundAt, settingOf } from "../music/road.js";
import { secondsPerTick, swung, touchSeconds } from "../music/time.js";
import { firstFrom, partNotes, STRUCK, tuningNotes, tuningTicks } from "../music/track.js";

const LEAST_REST_BEATS = 0.5; // a note cut by a change of key sounds on if it has this long to go
/** The velocities of a click, and how long it is. */
export const CLICK = { strong: 112, weak: 84, seconds: 0.2 };
const TOO_LATE_SECONDS = 0.1; // a note this late is left out: the page was held up
/** The parts that are no players of the band. */
const CLICKS = ["click", "count-in"];

export class Player extends Course {
  /**
   * track: the data. band: plays the notes. wishes: the settings; they are read for each note, so
   * that a change is heard with the next one. heard: called with each note.
   */
  constructor(track, band, wishes, heard = () => {}) {
    super();
    Object.assign(this, { track, band, wishes, heard });
    this.parts = track.parts.map((part) => part.name);
    this.stage = "stopped"; // tuning, counting, playing, landing, stopped
    this.ahead = []; // what was handed to the band and may not have sounded yet: {part, n, at}
    this.kept = new Set(); // notes that a change of tempo left with the band, as "part n"
  }

  /** Begins at a time of the context, with the tuning note and the count-in if they are wished for. */
  start(at) {
    this.round = 0;
    this.chorus = 0;
    this.goesOn = null; // the open line that ends after this time round
    this.time = at;
    this.floor = at;
    this.marks = [];
    this.#enter(this.wishes.tuningNote ? "tuning" : this.#afterTuning());
  }

  #afterTuning() {
    return this.wishes.countInBars ? "counting" : "playing";
  }

  stop(at) {
    this.stage = "stopped";
    this.band.silence([...this.parts, ...CLICKS, "tuning note"], at);
  }

  #enter(stage) {
    this.stage = stage;
    const { track } = this;
    const { tempo, countInBars, from } = this.wishes;
    const { barTicks } = settingOf(track, from - 1);
    if (stage === "playing") this.#goTo(this.stretch[0]);
    else if (stage === "tuning") this.#place(0, tuningTicks(track, tempo, from - 1));
    else if (stage === "counting") this.#place(-barTicks * countInBars, 0);
    else this.#place(...this.landing());
    this.#arrive();
    if (stage === "tuning") this.#tune();
  }

  /** Keeps the place at which the music goes on elsewhere. */
  #arrive() {
    this.leaving = false;
    this.entered = { time: this.time, tick: this.tick };
    this.mark();
  }

  /** Plays from a tick of the bars that are practised on. */
  #goTo(tick) {
    this.#place(tick, tick + 1);
    this.#setEnd();
  }

  /** Sets up to where is played before it has to be seen what follows. */
  #setEnd() {
    const [, end] = this.stretch;
    const round = roundAt(this.track, barAt(this.track, this.tick));
    if (!round) this.end = end;
    else this.end = Math.min(end, barLine(this.track, this.goesOn === round.line ? round.last : round.end));
  }

  /** Ends the open line that is played after this time round, or takes that back. */
  goOn(wanted) {
    this.goesOn = wanted ? this.waiting?.line ?? null : null;
    if (this.stage === "playing" && !this.leaving) this.#setEnd();
  }

  /** The notes to tune by: at once, because they depend on no tempo. */
  #tune() {
    for (const note of tuningNotes(this.track, this.wishes.key)) {
      const at = this.time + note.after;
      this.band.strike("tuning note", note.pitch, note.velocity, at, note.seconds);
      this.heard({ part: "tuning note", at, pitch: note.pitch, velocity: note.velocity, tick: 0, seconds: note.seconds });
    }
  }

  /** Goes to a tick; what follows is played up to another one. */
  #place(tick, end) {
    this.tick = tick;
    this.end = end;
    this.next = {};
    this.nextControl = {};
    for (const part of this.parts) {
      this.next[part] = firstFrom(this.#notes(part), tick);
      this.stand(part, tick, this.time);
    }
    this.nextBeat = this.beatFrom(tick);
    this.ahead = [];
    this.kept.clear();
  }

  #notes(part) {
    if (this.stage === "tuning" || this.stage === "stopped") return [];
    const isPickup = this.track.road && this.wishes.from === 1;
    if (this.stage === "counting" && !isPickup) return [];
    const { key, solo } = this.wishes;
    return partNotes(this.track, key, part, this.stage === "landing" ? "landing" : "round", solo);
  }

  /** Hands all notes up to a time of the context to the band; none can sound before `now`. */
  advance(horizon, now = 0) {
    this.floor = Math.max(this.floor, now);
    this.ahead = this.ahead.filter((note) => note.at >= now);
    while (this.stage !== "stopped" && this.time < horizon - 1e-9) {
      const { share, until: steady } = this.tempo();
      this.perTick = secondsPerTick(this.track, this.wishes.tempo) / share;
      this.cutsNotes = this.isCut();
      if (this.marks.at(-1).perTick !== this.perTick) this.mark();
      const until = Math.min(this.end, steady, this.tick + (horizon - this.time) / this.perTick);
      for (const part of this.parts) this.#playPart(part, until);
      this.#playClicks(until);
      this.time += (until - this.tick) * this.perTick;
      this.tick = until;
      if (this.tick >= this.end) this.#turn();
    }
  }

  #playPart(part, until) {
    this.playControls(part, until);
    const notes = this.#notes(part);
    let n = this.next[part];
    for (; n < notes.length; n++) {
      const at = this.swung(notes[n].at);
      if (at >= until) break;
      if (!this.kept.delete(`${part} ${n}`)) this.#strike(part, n, notes[n], at);
    }
    this.next[part] = n;
  }

  #strike(part, n, note, tick) {
    const { track, wishes } = this;
    const touch = touchSeconds(track, note.touch, wishes.tempo);
    const planned = this.time + (tick - this.tick) * this.perTick + touch;
    if (planned < this.floor - TOO_LATE_SECONDS) return;
    const at = Math.max(this.floor, planned);
    const room = this.cutsNotes ? this.end - tick : Infinity;
    const seconds = Math.max(0.03, this.seconds(tick, Math.min(note.length, room)));
    const rings = Math.max(seconds, this.seconds(tick, Math.min(ringingTicks(this.controls(part), note), room)));
    const program = this.program(part, note);
    const course = note.gesture ? bentCourse(note.gesture, seconds, track.hand) : [];
    this.band.strike(part, note.pitch, note.velocity, at, rings, this.sound(part, program), this.trim(part), course);
    this.ahead.push({ part, n, at });
    this.heard({ part, at, pitch: note.pitch, velocity: note.velocity, tick, seconds, touch, program, gesture: note.gesture });
  }

  #playClicks(until) {
    const part = this.stage === "counting" ? "count-in" : "click";
    for (; this.nextBeat < until; this.nextBeat = this.beatFrom(this.nextBeat + 1)) {
      if (this.stage === "landing" || this.stage === "tuning") continue;
      if (this.stage === "playing" && isHeld(this.track, this.nextBeat)) continue;
      const at = this.time + (this.nextBeat - this.tick) * this.perTick;
      const velocity = this.isBarLine(this.nextBeat) ? CLICK.strong : CLICK.weak;
      this.band.strike(part, this.track.click, velocity, at, CLICK.seconds);
      this.heard({ part, at, pitch: this.track.click, velocity, tick: this.nextBeat });
    }
  }

  /** Goes on when the bars are over: to the next round, the ending, other bars, or the stop. */
  #turn() {
    const { track, wishes } = this;
    if (this.stage === "tuning") return this.#enter(this.#afterTuning());
    if (this.leaving || this.stage === "counting") return this.#enter("playing");
    if (this.stage === "landing") return this.#finish();
    const onward = this.onward();
    if (onward !== null) return this.#goOnAt(onward);
    if (this.isLast) {
      const [start, end] = this.landing();
      const toTheEnd = wishes.to === track.bars && (track.road || wishes.from === 1);
      return toTheEnd && start < end ? this.#enter("landing") : this.#finish();
    }
    this.round += 1;
    this.chorus = (this.chorus + 1) % track.choruses;
    wishes.roundOver(this.time);
    return this.#enter("playing");
  }

  /** Goes on at a tick of the road when a line is over. */
  #goOnAt(tick) {
    const line = roundAt(this.track, barAt(this.track, tick)).line;
    if (line !== this.goesOn) this.goesOn = null;
    if (tick === this.tick) return this.#setEnd();
    this.#goTo(tick);
    return this.#arrive();
  }

  #finish() {
    this.stage = "stopped";
    this.mark();
  }

  /**
   * Goes over to the key that is wished for now, from a time of the context on: what was handed on
   * but has not sounded yet is taken back, and long notes go on in the new key. A round that ends
   * before stays in its own key.
   */
  rejoin(at, parts = this.parts) {
    if (this.stage !== "playing" && this.stage !== "landing") return;
    const from = Math.max(at, this.entered.time);
    const { tick } = this.placeAt(from);
    this.band.silence(parts, from);
    this.floor = from;
    this.ahead = this.ahead.filter((note) => !parts.includes(note.part));
    for (const name of this.kept) if (parts.includes(name.split(" ")[0])) this.kept.delete(name);
    for (const part of parts) {
      const notes = this.#notes(part);
      this.next[part] = this.#firstLater(notes, tick);
      this.stand(part, tick, from);
      for (const note of notes.slice(0, this.next[part])) this.#sustain(part, note, tick, from);
      this.#playPart(part, this.tick);
    }
    for (const mark of this.marks) if (mark.time >= this.entered.time) mark.key = this.wishes.key;
  }

  /**
   * Goes over to the tempo that is wished for now, from a time of the context on: what was handed on
   * and would sound later is taken back, so that it comes at the new tempo. A round that ends before
   * stays in its own tempo.
   */
  retime(at) {
    if (this.stage === "stopped") return;
    const from = Math.max(at, this.entered.time);
    if (from >= this.time) return;
    const { tick } = this.placeAt(from);
    this.band.takeBack([...this.parts, ...CLICKS], from);
    for (const part of this.parts) {
      const mine = this.ahead.filter((note) => note.part === part);
      this.next[part] = Math.min(this.next[part], ...mine.filter((note) => note.at >= from).map((note) => note.n));
      for (const { n, at: when } of mine) if (when < from && n >= this.next[part]) this.kept.add(`${part} ${n}`);
    }
    this.ahead = this.ahead.filter((note) => note.at < from);
    Object.assign(this, { time: from, tick, floor: from, nextBeat: this.beatFrom(tick) });
    for (const part of this.parts) this.stand(part, tick, from);
    this.mark();
  }

  /**
   * Goes over to the bars that are wished for now: plays on if it is inside them, else goes there at
   * the next bar line after a time of the context. jump: goes to the first of them in any case.
   */
  restretch(at, jump = false) {
    if (this.stage !== "playing") return;
    const [first, end] = this.stretch;
    this.leaving = false;
    this.goesOn = null;
    if (!jump && first <= this.tick && this.tick < end) {
      this.#setEnd();
      return;
    }
    const { tick } = this.placeAt(Math.max(at, this.entered.time));
    const line = barLine(this.track, barAt(this.track, tick - 1e-6) + 1);
    if (line > this.tick) {
      this.end = line;
      this.leaving = true;
      return;
    }
    this.time = this.timeOf(line);
    this.floor = this.time;
    this.band.silence([...this.parts, ...CLICKS], this.time);
    this.#enter("playing");
  }

  /** The first note that begins at a tick or later, as it is swung now. */
  #firstLater(notes, tick) {
    let n = firstFrom(notes, tick - settingOf(this.track, barAt(this.track, tick)).swing.unit);
    while (n < notes.length && this.swung(notes[n].at) < tick) n++;
    return n;
  }

  #sustain(part, note, tick, at) {
    const left = note.at + note.length - tick;
    if (STRUCK.has(part) || left < LEAST_REST_BEATS * this.track.beatTicks) return;
    const sound = this.sound(part, this.program(part, note));
    const bend = note.gesture?.released ? 0 : note.gesture?.bend ?? 0;
    this.band.strike(part, note.pitch + bend, note.velocity, at, this.seconds(tick, left), sound, this.trim(part));
  }
}
