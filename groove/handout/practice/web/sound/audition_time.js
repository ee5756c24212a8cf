// The time of an audition: its ticks in seconds of the context, by itself or with the running band.

import { beatFrom, settingOf } from "../music/road.js";
import { secondsPerTick, swingRatio, swung } from "../music/time.js";

const CLOSE = 1e-6;
const KEPT = 40; // notes: more than are handed on ahead of the music

/** Time of its own, at an even tempo; swung as the form is at that tempo. */
export class OwnTime {
  /** start: the time of the context at which a tick `first` sounds. */
  constructor(track, tempo, start, first) {
    const { barTicks, swing } = settingOf(track, 0);
    const perTick = secondsPerTick(track, tempo);
    Object.assign(this, { barTicks, perTick, swing: { ...swing, written: 1 }, ratio: swingRatio(swing, tempo) });
    this.start = start - perTick * this.#late(first);
  }

  /** A tick as it swings; a part of a triplet stays where it is. */
  #late(tick) {
    const isEven = (4 * tick) % this.swing.unit === 0;
    const bars = Math.ceil(Math.max(0, -tick) / this.barTicks) * this.barTicks;
    return isEven ? swung(this.swing, tick + bars, this.ratio) - bars : tick;
  }

  /** Where some ticks lie: {time, seconds}. */
  at(tick, ticks) {
    return {
      time: this.start + this.perTick * this.#late(tick),
      seconds: this.perTick * (this.#late(tick + ticks) - this.#late(tick)),
    };
  }

  /** The tick of the bar line after a tick. */
  nextBar(tick) {
    return (Math.floor(tick / this.barTicks) + 1) * this.barTicks;
  }
}

/** The time of the running band: tick 0 is a beat of it, and the ticks go on wherever the band goes. */
export class BandTime {
  /** from: a time of the context; the first beat at it or later has tick 0. */
  constructor(player, from) {
    this.player = player;
    const mark = player.placeAt(from) ?? { ...player.marks[0], time: from };
    const tick = mark.tick; // at `from`
    const beat = mark.stage === "playing" ? beatFrom(player.track, tick) : Math.max(0, tick);
    this.passed = [{ ticks: 0, time: from + (beat - tick) * mark.perTick }]; // what is known of the way so far
  }

  #markAt(time) {
    return this.player.marks.findLast((mark) => mark.time <= time + CLOSE) ?? null;
  }

  /**
   * Where some ticks lie: {time, even, seconds, tick, key, stage, round} of the band, even: the time without
   * swing; null while the player isn't there yet.
   */
  at(ticks, length) {
    const { player } = this;
    let { ticks: passed, time } = this.passed.findLast((known) => known.ticks <= ticks) ?? this.passed[0];
    const { marks } = player;
    for (let n = Math.max(0, marks.indexOf(this.#markAt(time))); n < marks.length; n++) {
      const mark = marks[n];
      const end = marks[n + 1]?.time ?? player.time;
      const here = mark.tick + (time - mark.time) / mark.perTick;
      const room = (end - time) / mark.perTick;
      if (ticks - passed < room - CLOSE) {
        const tick = here + ticks - passed;
        const late = player.swung(tick);
        const { key, stage, round, perTick } = mark;
        const seconds = perTick * (player.swung(tick + length) - late);
        const [time, even] = [late, tick].map((each) => mark.time + (each - mark.tick) * perTick);
        return { time, even, seconds, tick, key, stage, round };
      }
      if (room <= 0) continue;
      passed += room;
      time = end;
    }
    return null;
  }

  /** Keeps that a note was handed on at some ticks. */
  keep(ticks, { even }) {
    this.passed.push({ ticks, time: even, mark: this.#markAt(even) });
    if (this.passed.length > KEPT) this.passed.shift();
  }

  /**
   * The time from which the band has gone on otherwise than it was known when the last notes were handed
   * on, as after a change of tempo; null where it has not. It is forgotten what lies after it.
   */
  moved() {
    const last = this.passed.at(-1);
    const mark = this.#markAt(last.time);
    if (!last.mark || last.mark === mark) return null;
    const { time } = mark;
    while (this.passed.length > 1 && this.passed.at(-1).time >= time - CLOSE) this.passed.pop();
    return time;
  }
}
