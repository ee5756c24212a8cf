// The player: plays the track, and goes over to what the student changes while it plays.

import { barAt, barLine, settingOf } from "../music/road.js";
import { firstFrom, STRUCK } from "../music/track.js";
import { CLICKS, LEAST_REST_BEATS, Playing } from "./playing.js";

export class Player extends Playing {
  /** Ends the open line that is played after this time round, or takes that back. */
  goOn(wanted) {
    this.goesOn = wanted ? this.waiting?.line ?? null : null;
    if (this.stage === "playing" && !this.leaving) this.setEnd();
  }

  /** The student says whether a round was clean; `at`: the time of the context at which that is said. */
  judge(isClean, at) {
    const { round, stage, tick } = this.placeAt(at) ?? { round: 0 };
    const [first, end] = this.stretch;
    const early = Math.min(this.barTicksAt(first), (end - first) / 2);
    this.ladder.judge(isClean, round < this.round || stage !== "playing" || tick - first < early);
  }

  /** Takes the turns that are wished for now from the next bar line on after a time of the context. */
  changeTurns(at) {
    if (this.stage !== "playing") return this.turns.change(this.paused?.number ?? this.number);
    const { tick } = this.placeAt(Math.max(at, this.entered.time));
    const line = Math.min(this.end, barLine(this.track, barAt(this.track, tick - 1e-6) + 1));
    this.turns.change(this.numberOf(line));
    return line < this.tick ? this.retime(this.timeOf(line)) : undefined;
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
      const notes = this.notes(part);
      this.next[part] = this.#firstLater(notes, tick);
      this.stand(part, tick, from);
      for (const note of notes.slice(0, this.next[part])) this.#sustain(part, note, tick, from);
      this.comeBack(part, tick, this.tick);
      this.playPart(part, this.tick);
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
      this.setEnd();
      return;
    }
    const { tick } = this.placeAt(Math.max(at, this.entered.time));
    const line = barLine(this.track, barAt(this.track, tick - 1e-6) + 1);
    if (line > this.tick) {
      this.end = line;
      this.leaving = true;
      return;
    }
    this.number = this.numberOf(line);
    this.time = this.timeOf(line);
    this.floor = this.time;
    this.band.silence([...this.parts, ...CLICKS], this.time);
    this.enter("playing");
  }

  /** The first note that begins at a tick or later, as it is swung now. */
  #firstLater(notes, tick) {
    let n = firstFrom(notes, tick - settingOf(this.track, barAt(this.track, tick)).swing.unit);
    while (n < notes.length && this.swung(notes[n].at) < tick) n++;
    return n;
  }

  #sustain(part, note, tick, at) {
    const left = Math.min(note.at + note.length - tick, this.room(part, tick));
    if (STRUCK.has(part) || left < LEAST_REST_BEATS * this.track.beatTicks || this.isOut(part, tick)) return;
    const sound = this.sound(part, this.program(part, note));
    const bend = note.gesture?.released ? 0 : note.gesture?.bend ?? 0;
    this.band.strike(part, note.pitch + bend, note.velocity, at, this.seconds(tick, left), sound, this.trim(part));
  }
}
