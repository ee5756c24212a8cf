// The player: decides which note sounds when, a little ahead of the audio clock. It has no timer and
// no screen: `advance` is called every few milliseconds live, once offline.

import { secondsPerTick, swingRatio, swung, touchSeconds } from "./time.js";
import { barTicks, firstFrom, partNotes, STRUCK, tuningBars, tuningNotes } from "./track.js";

const LEAST_REST_BEATS = 0.5; // a note cut by a change of key sounds on if it has this long to go
/** The velocities of a click, and how long it is. */
export const CLICK = { strong: 112, weak: 84, seconds: 0.2 };
const TOO_LATE_SECONDS = 0.1; // a note this late is left out: the page was held up
/** The parts that are no players of the band. */
const CLICKS = ["click", "count-in"];

export class Player {
  /**
   * track: the data. band: plays the notes. wishes: the settings; they are read for each note, so
   * that a change is heard with the next one. heard: called with each note.
   */
  constructor(track, band, wishes, heard = () => {}) {
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

  /** First and last tick of the bars that are practised, in the chorus that is played. */
  get stretch() {
    const chorus = this.chorus * this.track.bars;
    const size = barTicks(this.track);
    return [(chorus + this.wishes.from - 1) * size, (chorus + this.wishes.to) * size];
  }

  #enter(stage) {
    this.stage = stage;
    const size = barTicks(this.track);
    const { tempo, countInBars } = this.wishes;
    if (stage === "playing") this.#place(...this.stretch);
    else if (stage === "tuning") this.#place(0, size * tuningBars(this.track, tempo));
    else if (stage === "counting") this.#place(0, size * countInBars);
    else this.#place(0, size);
    this.leaving = false;
    this.entered = { time: this.time, tick: this.tick };
    this.#mark();
    if (stage === "tuning") this.#tune();
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
    for (const part of this.parts) this.next[part] = firstFrom(this.#notes(part), tick);
    this.nextBeat = this.#beatFrom(tick);
    this.ahead = [];
    this.kept.clear();
  }

  #beatFrom(tick) {
    const { beats, barTicks } = this.track;
    const bar = Math.floor((tick - 1e-6) / barTicks) * barTicks;
    return bar + (beats.find((start) => bar + start >= tick - 1e-6) ?? barTicks);
  }

  #notes(part) {
    if (this.stage !== "playing" && this.stage !== "landing") return [];
    return partNotes(this.track, this.wishes.key, part, this.stage === "landing" ? "landing" : "round");
  }

  /** Keeps the place of the music at a time, for the screen; marks of later times are dropped. */
  #mark() {
    while (this.marks.at(-1)?.time > this.time) this.marks.pop();
    this.marks.push({
      time: this.time,
      tick: this.tick,
      tempo: this.wishes.tempo,
      perTick: secondsPerTick(this.track, this.wishes.tempo),
      stage: this.stage,
      chorus: this.chorus,
      round: this.round,
      key: this.wishes.key,
    });
    if (this.marks.length > 400) this.marks.splice(0, 200);
  }

  /** Stage, tick of the track, chorus and round at a time of the context; null before the start. */
  placeAt(time) {
    let mark = null;
    for (const made of this.marks ?? []) {
      if (made.time > time + 1e-6) break;
      mark = made;
    }
    return mark && { ...mark, tick: mark.tick + (time - mark.time) / mark.perTick };
  }

  /** Hands all notes up to a time of the context to the band; none can sound before `now`. */
  advance(horizon, now = 0) {
    this.floor = Math.max(this.floor, now);
    this.ahead = this.ahead.filter((note) => note.at >= now);
    while (this.stage !== "stopped" && this.time < horizon - 1e-9) {
      this.perTick = secondsPerTick(this.track, this.wishes.tempo);
      this.ratio = swingRatio(this.track.swing, this.wishes.tempo);
      if (this.marks.at(-1).perTick !== this.perTick) this.#mark();
      const until = Math.min(this.end, this.tick + (horizon - this.time) / this.perTick);
      for (const part of this.parts) this.#playPart(part, until);
      this.#playClicks(until);
      this.time += (until - this.tick) * this.perTick;
      this.tick = until;
      if (this.tick >= this.end) this.#turn();
    }
  }

  #playPart(part, until) {
    const notes = this.#notes(part);
    let n = this.next[part];
    for (; n < notes.length; n++) {
      const at = swung(this.track.swing, notes[n].at, this.ratio);
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
    const room = this.stage === "landing" ? Infinity : this.end - tick;
    const seconds = Math.max(0.03, Math.min(note.length, room) * this.perTick);
    this.band.strike(part, note.pitch, note.velocity, at, seconds);
    this.ahead.push({ part, n, at });
    this.heard({ part, at, pitch: note.pitch, velocity: note.velocity, tick, seconds, touch });
  }

  #playClicks(until) {
    const part = this.stage === "counting" ? "count-in" : "click";
    for (; this.nextBeat < until; this.nextBeat = this.#beatFrom(this.nextBeat + 1)) {
      if (this.stage === "landing" || this.stage === "tuning") continue;
      const at = this.time + (this.nextBeat - this.tick) * this.perTick;
      const velocity = this.nextBeat % barTicks(this.track) === 0 ? CLICK.strong : CLICK.weak;
      this.band.strike(part, this.track.click, velocity, at, CLICK.seconds);
      this.heard({ part, at, pitch: this.track.click, velocity, tick: this.nextBeat });
    }
  }

  /** Goes on when the bars are over: to the next round, the ending, other bars, or the stop. */
  #turn() {
    const { wishes } = this;
    if (this.stage === "tuning") return this.#enter(this.#afterTuning());
    if (this.leaving || this.stage === "counting") return this.#enter("playing");
    if (this.stage === "landing") return this.#finish();
    const whole = wishes.from === 1 && wishes.to === this.track.bars;
    if (!wishes.forEver && this.round + 1 >= wishes.rounds) {
      return whole ? this.#enter("landing") : this.#finish();
    }
    this.round += 1;
    this.chorus = (this.chorus + 1) % this.track.choruses;
    wishes.roundOver(this.time);
    return this.#enter("playing");
  }

  #finish() {
    this.stage = "stopped";
    this.#mark();
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
    this.ahead = [];
    this.kept.clear();
    for (const part of parts) {
      const notes = this.#notes(part);
      this.next[part] = this.#firstLater(notes, tick);
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
    Object.assign(this, { time: from, tick, floor: from, nextBeat: this.#beatFrom(tick) });
    this.#mark();
  }

  /**
   * Goes over to the bars that are wished for now: plays on if it is inside them, else goes there at
   * the next bar line after a time of the context.
   */
  restretch(at) {
    if (this.stage !== "playing") return;
    const [first, end] = this.stretch;
    this.leaving = false;
    if (first <= this.tick && this.tick < end) {
      this.end = end;
      return;
    }
    const size = barTicks(this.track);
    const { tick } = this.placeAt(Math.max(at, this.entered.time));
    const line = Math.ceil((tick - 1e-6) / size) * size;
    if (line > this.tick) {
      this.end = line;
      this.leaving = true;
      return;
    }
    this.time = this.#timeOf(line);
    this.floor = this.time;
    this.band.silence([...this.parts, ...CLICKS], this.time);
    this.#enter("playing");
  }

  /** The time of the context at which a tick of this round sounds that was handed on already. */
  #timeOf(tick) {
    const mark = this.marks.findLast((made) => made.time >= this.entered.time && made.tick <= tick + 1e-6);
    return mark.time + (tick - mark.tick) * mark.perTick;
  }

  /** The first note that begins at a tick or later, as it is swung now. */
  #firstLater(notes, tick) {
    let n = firstFrom(notes, tick - this.track.swing.unit);
    while (n < notes.length && swung(this.track.swing, notes[n].at, this.ratio) < tick) n++;
    return n;
  }

  #sustain(part, note, tick, at) {
    const left = note.at + note.length - tick;
    if (STRUCK.has(part) || left < LEAST_REST_BEATS * this.track.beatTicks) return;
    this.band.strike(part, note.pitch, note.velocity, at, left * this.perTick);
  }
}
