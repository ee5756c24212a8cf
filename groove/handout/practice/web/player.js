// The player: decides which note sounds when, a little ahead of the audio clock. It knows no timer
// and no screen; whoever owns it calls `advance`, live every few milliseconds, offline once.

import { secondsPerTick, swingRatio, swung, touchSeconds } from "./time.js";
import { barTicks, firstFrom, partNotes } from "./track.js";

const LEAST_REST_BEATS = 0.5; // a note cut by a change of key sounds on if it has this long to go
/** The velocities of a click, and how long it is. */
export const CLICK = { strong: 112, weak: 84, seconds: 0.2 };
const TOO_LATE_SECONDS = 0.1; // a note this late is left out: the page was held up

export class Player {
  /**
   * track: the data. band: where it sounds. wishes: what the student has set; read anew whenever
   * something is decided, so a change is heard with the next note. heard: is told each note and
   * each turn of events.
   */
  constructor(track, band, wishes, heard = () => {}) {
    Object.assign(this, { track, band, wishes, heard });
    this.parts = track.parts.map((part) => part.name);
    this.stage = "stopped"; // counting, playing, landing, stopped
  }

  /** Begins at a time of the context, with the count-in if it is wished for. */
  start(at) {
    this.round = 0;
    this.chorus = 0;
    this.time = at;
    this.floor = at;
    this.marks = [];
    this.#enter(this.wishes.countIn ? "counting" : "playing");
  }

  stop(at) {
    this.stage = "stopped";
    this.band.silence([...this.parts, "click", "count-in"], at);
  }

  /** First and last tick of the stretch of bars that is played, in the chorus that is played. */
  get stretch() {
    const chorus = this.chorus * this.track.bars;
    const size = barTicks(this.track);
    return [(chorus + this.wishes.from - 1) * size, (chorus + this.wishes.to) * size];
  }

  #enter(stage) {
    this.stage = stage;
    if (stage === "counting") this.#place(0, barTicks(this.track));
    else if (stage === "playing") this.#place(...this.stretch);
    else this.#place(0, barTicks(this.track));
    this.entered = { time: this.time, tick: this.tick };
    this.#mark();
  }

  /** Goes to a tick; what follows is played up to another one. */
  #place(tick, end) {
    this.tick = tick;
    this.end = end;
    this.next = {};
    for (const part of this.parts) this.next[part] = firstFrom(this.#notes(part), tick);
    this.nextBeat = Math.ceil(tick / this.track.beatTicks) * this.track.beatTicks;
  }

  #notes(part) {
    if (this.stage === "counting" || this.stage === "stopped") return [];
    return partNotes(this.track, this.wishes.key, part, this.stage === "landing" ? "landing" : "round");
  }

  /** Notes where the music is at a time, so that a screen can follow the sound: what was to come is void. */
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
      this.#strike(part, notes[n], at);
    }
    this.next[part] = n;
  }

  #strike(part, note, tick) {
    const { track, wishes } = this;
    const touch = touchSeconds(track, note.touch, wishes.tempo);
    const planned = this.time + (tick - this.tick) * this.perTick + touch;
    if (planned < this.floor - TOO_LATE_SECONDS) return;
    const at = Math.max(this.floor, planned);
    const room = this.stage === "landing" ? Infinity : this.end - tick;
    const seconds = Math.max(0.03, Math.min(note.length, room) * this.perTick);
    this.band.strike(part, note.pitch, note.velocity, at, seconds);
    this.heard({ part, at, pitch: note.pitch, velocity: note.velocity, tick, seconds, touch });
  }

  #playClicks(until) {
    const { beatTicks } = this.track;
    const part = this.stage === "counting" ? "count-in" : "click";
    for (; this.nextBeat < until; this.nextBeat += beatTicks) {
      if (this.stage === "landing") continue;
      const at = this.time + (this.nextBeat - this.tick) * this.perTick;
      const velocity = this.nextBeat % barTicks(this.track) === 0 ? CLICK.strong : CLICK.weak;
      this.band.strike(part, this.track.click, velocity, at, CLICK.seconds);
      this.heard({ part, at, pitch: this.track.click, velocity, tick: this.nextBeat });
    }
  }

  /** What comes when a stretch is over: the next round, the landing, or the end. */
  #turn() {
    const { wishes } = this;
    if (this.stage === "counting") return this.#enter("playing");
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
   * but has not sounded yet is taken back, and long notes go on in the new key. What belongs to
   * the round before is left to end in its own key.
   */
  rejoin(at, parts = this.parts) {
    if (this.stage !== "playing" && this.stage !== "landing") return;
    const from = Math.max(at, this.entered.time);
    const { tick } = this.placeAt(from);
    this.band.silence(parts, from);
    this.floor = from;
    for (const part of parts) {
      const notes = this.#notes(part);
      this.next[part] = this.#firstLater(notes, tick);
      for (const note of notes.slice(0, this.next[part])) this.#sustain(part, note, tick, from);
      this.#playPart(part, this.tick);
    }
    for (const mark of this.marks) if (mark.time >= this.entered.time) mark.key = this.wishes.key;
  }

  /** Goes over to the bars that are wished for now: plays on if it is inside them, else begins. */
  restretch(at) {
    if (this.stage !== "playing") return;
    const [first, end] = this.stretch;
    if (first <= this.tick && this.tick < end) {
      this.end = end;
      return;
    }
    this.band.silence([...this.parts, "click", "count-in"], at);
    this.time = at;
    this.floor = at;
    this.#enter("playing");
  }

  /** The first note that begins at a tick or later, as it is swung now. */
  #firstLater(notes, tick) {
    let n = firstFrom(notes, tick - this.track.swing.unit);
    while (n < notes.length && swung(this.track.swing, notes[n].at, this.ratio) < tick) n++;
    return n;
  }

  #sustain(part, note, tick, at) {
    const left = note.at + note.length - tick;
    if (part === "drums" || left < LEAST_REST_BEATS * this.track.beatTicks) return;
    this.band.strike(part, note.pitch, note.velocity, at, left * this.perTick);
  }
}
