// The turns of band and student: which bars are whose, counted in bars that were played.

import { hasOwnTurns, silencesNothing } from "../music/machine.js";
import { barAt, barLine, roundAt } from "../music/road.js";
import { firstFrom, partNotes, SOLO, STRUCK } from "../music/track.js";

/** The names of a turn, by what falls silent: while the band plays, and in the student's bars. */
const NAMES = { band: ["band", "out"], pitched: ["band", "you_drums"], solo: ["listen", "you"] };
const ALONE = ["ticks", "quiet"];

export class Turns {
  /** wishes: the settings, read at the start and at each change. */
  constructor(track, wishes) {
    Object.assign(this, { track, wishes });
    this.start();
  }

  /** Forgets everything, because the music begins. */
  start() {
    this.set = [];
    this.change(0);
  }

  /** Takes the figures that are set now from a bar on, by its number among those that are played. */
  change(from) {
    this.set = this.set.filter((made) => made.from < from);
    this.set.push({ from, machine: this.wishes.machine });
  }

  /** The figures that hold in the bar with a number, and from which bar on. */
  #setAt(number) {
    return this.set.findLast(({ from }) => from <= number) ?? this.set[0];
  }

  #hasOwn(machine) {
    return hasOwnTurns({ machine, solo: this.wishes.solo });
  }

  /** Whether the student has the bar with a number, and how many bars are left of the turn; null for no turns. */
  #turnAt(number) {
    const { from, machine } = this.#setAt(number);
    if (!machine.turns || this.#hasOwn(machine)) return null;
    const { band, out } = machine;
    const place = (number - from) % (band + out);
    return place < band ? { mine: false, left: band - place } : { mine: true, left: band + out - place };
  }

  /** Whether a part is silent in the bar with a number. */
  isOut(part, number) {
    const { machine } = this.#setAt(number);
    if (machine.alone) return true;
    if (!this.#turnAt(number)?.mine) return false;
    if (machine.silent === "band") return true;
    return part === SOLO || (machine.silent === "pitched" && !STRUCK.has(part));
  }

  /** The bars from that with a number on until a part falls silent; Infinity where it never does. */
  barsUntilOut(part, number) {
    const turn = this.#turnAt(number);
    if (!turn || turn.mine) return Infinity;
    return this.isOut(part, number + turn.left) ? turn.left : Infinity;
  }

  /** The click in the bar with a number: "mix" as it is mixed, "on" for always, "off". */
  clickAt(number) {
    const { machine } = this.#setAt(number);
    const mine = this.#turnAt(number)?.mine ?? false;
    if (machine.alone) return mine ? "off" : "on";
    if (!mine || machine.silent !== "band") return mine && machine.outClick ? "on" : "mix";
    return machine.outClick ? "on" : "off";
  }

  /** Whether the click plays alone from a number on. */
  isAlone(number) {
    return this.#setAt(number).machine.alone;
  }

  /**
   * What happens in the bar with a number, at a tick: {name, left}, left: bars that it goes on for.
   * Null where nothing is to be told.
   */
  toldAt(number, tick) {
    const { machine } = this.#setAt(number);
    const { solo } = this.wishes;
    if (this.#hasOwn(machine)) return this.#answers(tick);
    const turn = silencesNothing({ machine, solo }) ? null : this.#turnAt(number);
    if (!turn) return machine.alone ? { name: "alone", left: null } : null;
    const names = machine.alone ? ALONE : NAMES[machine.silent];
    return { name: names[Number(turn.mine)], left: turn.left };
  }

  /** Call or answer at a tick, in a solo that is made of both; null in a time round without them. */
  #answers(tick) {
    const { track, wishes } = this;
    const bar = barAt(track, tick);
    const whole = Math.floor(bar / track.bars) * track.bars;
    const { first, last } = track.road ? roundAt(track, bar) : { first: whole, last: whole + track.bars };
    const notes = partNotes(track, wishes.key, SOLO, "round", wishes.solo);
    if (!(notes[firstFrom(notes, barLine(track, first))]?.at < barLine(track, last))) return null;
    const { callBars } = track;
    const place = (bar - first) % (2 * callBars);
    return { name: place < callBars ? "call" : "answer", left: callBars - (place % callBars) };
  }
}
