// Pause and go on: keeps the place of the music, and plays on from it in the key and the tempo of then.

import { barAt, barLine } from "../music/road.js";
import { Player } from "./player.js";

const CLOSE = 1e-6; // ticks

export class PausingPlayer extends Player {
  constructor(...given) {
    super(...given);
    this.paused = null; // the place at which it was paused
  }

  start(at) {
    this.paused = null;
    super.start(at);
  }

  stop(at) {
    this.paused = null;
    super.stop(at);
  }

  /**
   * Pauses at a time of the context. What was handed on already and belongs to what follows, as the next
   * round, has not been heard: the music then goes on with that.
   */
  pause(at) {
    if (this.stage === "stopped") return;
    const place = this.placeAt(Math.max(at, this.entered.time));
    const { back, goesOn } = this;
    this.stop(at);
    this.paused = { ...place, back, goesOn };
  }

  /** Whether the place at which it was paused is in the bars that are practised. */
  get isPausedInside() {
    const { stage, tick, back } = this.paused;
    const [first, end] = this.stretch;
    const inside = (at) => first - CLOSE <= at && at < end - CLOSE;
    return stage === "landing" || (stage === "playing" ? inside(tick) : back !== null && inside(back));
  }

  /**
   * Goes on at a time of the context. With a count-in, a bar is counted before the bar where it was paused,
   * so that the student's hands come back to the instrument; else it goes on in the middle of that bar.
   */
  goOnAt(at) {
    const { stage, tick, back, goesOn } = this.paused;
    const inside = this.isPausedInside;
    Object.assign(this, { goesOn, time: at, floor: at, marks: [] });
    Object.assign(this, { number: this.paused.number ?? this.number, back: inside ? back : null });
    this.paused = null;
    if (["tuning", "resting", "counting"].includes(stage)) return this.enter(stage); // from its beginning
    if (!inside) return this.enter(this.afterTuning());
    if (stage === "playing" && this.wishes.countInBars) {
      this.back = barLine(this.track, barAt(this.track, tick + CLOSE));
      return this.enter("counting");
    }
    this.enterAt(stage, tick);
    return this.rejoin(at);
  }
}
