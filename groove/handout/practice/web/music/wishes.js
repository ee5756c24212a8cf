// The settings that a player goes by: key, tempo, bars, rounds, and how loud each part is.

import { NO_MACHINE } from "./machine.js";
import { moveTo } from "./moves.js";
import { OFF, SOLO } from "./track.js";

export const MOST_ROUNDS = 100;

export class Wishes {
  constructor(track) {
    this.track = track;
    this.parts = [...track.parts.map((part) => part.name), "click"];
  }

  /** Sets all as the form itself has it. */
  reset() {
    const { track } = this;
    Object.assign(this, {
      key: track.home,
      tempo: track.tempo,
      moved: null, // by a machine: tempo and key before it first did so, and after it did so last
      from: 1,
      to: track.bars,
      countIn: track.countIn > 0,
      tuningNote: track.tuningNote !== null,
      forEver: !track.road || track.road.loops,
      waits: true, // whether an open line goes on until the student says
      rounds: within(track.rounds, 1, MOST_ROUNDS),
      faster: track.faster,
      machine: NO_MACHINE, // of which no figure is ever changed in place
      nextKey: track.nextKey,
      volume: Object.fromEntries(this.parts.map((part) => [part, 1])),
      muted: new Set(["click"]),
      solo: track.solo,
    });
  }

  /** A copy that its own rounds change. */
  copy() {
    return Object.assign(Object.create(Object.getPrototypeOf(this)), this);
  }

  get wholeForm() {
    return this.from === 1 && this.to === this.track.bars;
  }

  /** Whether the bars that are set are played again, and do not just lead on to the end of the road. */
  get loops() {
    return !this.track.road || this.forEver || this.to !== this.track.bars;
  }

  /** The bars of the count-in, 0 for none; one where the form itself has none. */
  get countInBars() {
    return this.countIn ? Math.max(1, this.track.countIn) : 0;
  }

  setTempo(tempo) {
    if (Number.isFinite(tempo)) this.tempo = within(Math.round(tempo * 10) / 10, ...this.track.tempi);
  }

  setBars(from, to) {
    if (!Number.isFinite(from) || !Number.isFinite(to)) return;
    const [low, high] = from <= to ? [from, to] : [to, from];
    this.from = within(Math.round(low), 1, this.track.bars);
    this.to = within(Math.round(high), 1, this.track.bars);
  }

  /**
   * Sets bars of the road: some of them go round and round, and the road to its end once, unless
   * `stays` says otherwise.
   */
  setLoop(from, to, stays = false) {
    this.setBars(from, to);
    if (this.track.road) this.forEver = stays || this.usuallyForEver;
  }

  /** Whether the bars that are set go round and round unless the student says otherwise. */
  get usuallyForEver() {
    return !this.track.road || this.track.road.loops || this.to !== this.track.bars;
  }

  /** Goes on to the next tempo and key. */
  roundOver() {
    moveTo(this, { tempo: this.tempo + this.faster, key: this.keyAfter(this.key, true) });
  }

  /** Whether tempo and key go on after each round, unless the student says something. */
  get alwaysSteps() {
    return this.machine.clean === 1 && !this.machine.asked;
  }

  /** The number of the key of the round after one in this key; steps: whether tempo and key go on then. */
  keyAfter(key, steps = this.alwaysSteps) {
    if (!steps) return key;
    const [, , semitones] = this.track.cycles.find(([name]) => name === this.nextKey);
    return (key + semitones) % 12;
  }

  /** Whether a part has something to play. */
  plays(part) {
    return part !== SOLO || this.solo !== OFF;
  }

  /** The volume of a part's bus, 0 if it is silent. */
  loudness(part) {
    if (part === "tuning note") return 1;
    if (part === "count-in") return this.volume.click;
    return this.muted.has(part) ? 0 : this.volume[part];
  }
}

export function within(value, least, most) {
  return Math.max(least, Math.min(most, value));
}
