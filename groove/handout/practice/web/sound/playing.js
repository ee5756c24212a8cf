// Playing on: hands each note to the band when its time comes, a little ahead of the audio clock. It has
// no timer and no screen: `advance` is called every few milliseconds live, once offline.

import { clickPart, isAccented } from "../machines/clicks.js";
import { Ladder } from "../machines/ladder.js";
import { Turns } from "../machines/turns.js";
import { bentCourse } from "../music/bends.js";
import { ringingTicks } from "../music/controllers.js";
import { Course } from "../music/course.js";
import { barAt, barLine, roundAt, settingOf } from "../music/road.js";
import { secondsPerTick, touchSeconds } from "../music/time.js";
import { firstFrom, partNotes, tuningNotes, tuningTicks } from "../music/track.js";

/** A note that is cut by a change of key, or begins in the student's turn, sounds on if it has so long to go. */
export const LEAST_REST_BEATS = 0.5;
/** The velocities of a click, and how long it is. */
export const CLICK = { strong: 112, weak: 84, seconds: 0.2 };
const CLOSE = 1e-6; // ticks
const TOO_LATE_SECONDS = 0.1; // a note this late is left out: the page was held up
/** The parts that are no players of the band. */
export const CLICKS = ["click", "count-in"];

export class Playing extends Course {
  /**
   * track: the data. band: plays the notes. wishes: the settings; they are read for each note, so
   * that a change is heard with the next one. heard: called with each note.
   */
  constructor(track, band, wishes, heard = () => {}) {
    super();
    Object.assign(this, { track, band, wishes, heard });
    this.parts = track.parts.map((part) => part.name);
    this.turns = new Turns(track, wishes);
    this.ladder = new Ladder(wishes);
    this.back = null; // the bar line at which the music goes on after a pause and a count-in
    this.stage = "stopped"; // tuning, counting, playing, resting, landing, stopped
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
    this.back = null;
    this.number = 0; // of the bar that comes, among all that are played
    this.turns.start();
    this.ladder.start();
    this.enter(this.wishes.tuningNote ? "tuning" : this.afterTuning());
  }

  afterTuning() {
    return this.wishes.countInBars ? "counting" : "playing";
  }

  stop(at) {
    this.stage = "stopped";
    this.band.silence([...this.parts, ...CLICKS, "tuning note"], at);
  }

  enter(stage) {
    this.stage = stage;
    const { track } = this;
    const { tempo, countInBars, from } = this.wishes;
    const { barTicks } = settingOf(track, this.coming);
    if (stage === "playing") this.#goTo(this.back ?? this.stretch[0]);
    else if (stage === "tuning") this.#place(0, tuningTicks(track, tempo, from - 1));
    else if (stage === "counting") this.#place(-barTicks * (this.back === null ? Math.max(1, countInBars) : 1), 0);
    else if (stage === "resting") this.#place(-barTicks * this.wishes.machine.rest, 0);
    else this.#place(...this.landing());
    if (stage === "playing") this.back = null;
    this.#arrive();
    if (stage === "tuning") this.#tune();
  }

  /** Goes into the bars that are practised, or the ending, at a tick of them. */
  enterAt(stage, tick) {
    this.stage = stage;
    if (stage === "playing") this.#goTo(tick);
    else this.#place(tick, this.landing()[1]);
    this.#arrive();
  }

  /** Keeps the place at which the music goes on elsewhere. */
  #arrive() {
    this.leaving = false;
    this.entered = { time: this.time, tick: this.tick };
    this.mark();
  }

  /** Plays from a tick of the bars that are practised on. */
  #goTo(tick) {
    this.numbered = { bar: barAt(this.track, tick), number: this.number };
    this.#place(tick, tick + 1);
    this.setEnd();
  }

  /** Sets up to where is played before it has to be seen what follows. */
  setEnd() {
    const [, end] = this.stretch;
    const round = roundAt(this.track, barAt(this.track, this.tick));
    if (!round) this.end = end;
    else this.end = Math.min(end, barLine(this.track, this.goesOn === round.line ? round.last : round.end));
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
      this.next[part] = firstFrom(this.notes(part), tick);
      this.stand(part, tick, this.time);
    }
    this.nextBeat = this.beatFrom(tick);
    this.ahead = [];
    this.kept.clear();
  }

  notes(part) {
    if (["tuning", "resting", "stopped"].includes(this.stage)) return [];
    const isPickup = this.track.road && this.coming === 0;
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
      const until = Math.min(this.end, steady, this.barEnd, this.tick + (horizon - this.time) / this.perTick);
      for (const part of this.parts) {
        this.comeBack(part, this.tick - CLOSE, until);
        this.playPart(part, until);
      }
      this.#playClicks(until);
      this.time += (until - this.tick) * this.perTick;
      this.tick = until;
      if (this.tick >= this.end) this.#turn();
    }
  }

  playPart(part, until) {
    this.playControls(part, until);
    const notes = this.notes(part);
    let n = this.next[part];
    for (; n < notes.length; n++) {
      const at = this.swung(notes[n].at);
      if (at >= until) break;
      if (!this.kept.delete(`${part} ${n}`)) this.#strike(part, n, notes[n], at);
    }
    this.next[part] = n;
  }

  #strike(part, n, note, tick) {
    const touch = touchSeconds(this.track, note.touch, this.wishes.tempo);
    const planned = this.time + (tick - this.tick) * this.perTick + touch;
    if (planned < this.floor - TOO_LATE_SECONDS) return;
    const at = Math.max(this.floor, planned);
    this.ahead.push({ part, n, at });
    if (this.isOut(part, tick)) this.band.passOver?.(part, note.pitch);
    else this.#begin(part, note, tick, at, touch);
  }

  /** Sounds a note from a tick on, at a time of the context. */
  #begin(part, note, tick, at, touch = 0) {
    const { track } = this;
    const room = this.room(part, tick);
    const seconds = Math.max(0.03, this.seconds(tick, Math.min(note.length, room)));
    const rings = Math.max(seconds, this.seconds(tick, Math.min(ringingTicks(this.controls(part), note), room)));
    const program = this.program(part, note);
    const course = note.gesture ? bentCourse(note.gesture, seconds, track.hand) : [];
    this.band.strike(part, note.pitch, note.velocity, at, rings, this.sound(part, program), this.trim(part), course);
    this.heard({ part, at, pitch: note.pitch, velocity: note.velocity, tick, seconds, touch, program, gesture: note.gesture });
  }

  /** Goes on with the notes that a part would hold, where its turn begins between two ticks. */
  comeBack(part, after, until) {
    const line = this.returns(part, after, until);
    if (line === null) return;
    const notes = this.notes(part);
    const first = barLine(this.track, this.numbered.bar);
    const begun = notes.slice(firstFrom(notes, first), firstFrom(notes, line));
    for (const note of begun) {
      const left = note.at + note.length - line;
      const isDue = left >= LEAST_REST_BEATS * this.track.beatTicks && this.swung(note.at) < line;
      if (!isDue || !this.isOut(part, note.at)) continue;
      this.band.passOver?.(part, note.pitch, -1); // it was passed over at its own time
      const held = { ...note, pitch: note.pitch + (note.gesture?.bend ?? 0), gesture: undefined, at: line, length: left };
      this.#begin(part, held, line, Math.max(this.floor, this.time + (line - this.tick) * this.perTick));
    }
  }

  #playClicks(until) {
    for (; this.nextBeat < until; this.nextBeat = this.beatFrom(this.nextBeat + 1)) {
      const part = clickPart(this, this.nextBeat, this.stage === "playing" ? this.numberOf(this.nextBeat) : null);
      if (!part) continue;
      const at = this.time + (this.nextBeat - this.tick) * this.perTick;
      const velocity = isAccented(this, this.isBarLine(this.nextBeat)) ? CLICK.strong : CLICK.weak;
      this.band.strike(part, this.track.click, velocity, at, CLICK.seconds);
      this.heard({ part, at, pitch: this.track.click, velocity, tick: this.nextBeat });
    }
  }

  /** Goes on when the bars are over: to the next round, the ending, other bars, or the stop. */
  #turn() {
    const { track, wishes } = this;
    if (this.stage === "playing") this.number = this.numberOf(this.end);
    if (this.stage === "tuning") return this.enter(this.afterTuning());
    if (this.stage === "resting") return this.enter(this.#afterRest());
    if (this.leaving || this.stage === "counting") return this.enter("playing");
    if (this.stage === "landing") return this.#finish();
    const onward = this.onward();
    if (onward !== null) return this.#goOnAt(onward);
    if (this.isLast) {
      const [start, end] = this.landing();
      const toTheEnd = wishes.to === track.bars && (track.road || wishes.from === 1);
      const ends = toTheEnd && start < end && !this.turns.isAlone(this.number);
      return ends ? this.enter("landing") : this.#finish();
    }
    this.round += 1;
    this.chorus = (this.chorus + 1) % track.choruses;
    this.ladder.roundOver();
    return this.enter(wishes.machine.rest ? "resting" : this.#afterRest());
  }

  #afterRest() {
    return this.wishes.machine.recount ? "counting" : "playing";
  }

  /** Goes on at a tick of the road when a line is over. */
  #goOnAt(tick) {
    const line = roundAt(this.track, barAt(this.track, tick)).line;
    if (line !== this.goesOn) this.goesOn = null;
    if (tick === this.tick) return this.setEnd();
    this.#goTo(tick);
    return this.#arrive();
  }

  #finish() {
    this.stage = "stopped";
    this.mark();
  }
}
