// The ladder: tempo and key go on after so many clean rounds in a row.

import { moveTo, standing } from "../music/moves.js";

export class Ladder {
  /** wishes: the settings, which a step changes. */
  constructor(wishes) {
    this.wishes = wishes;
    this.start();
  }

  /** Forgets everything, because the music begins. */
  start() {
    this.count = 0; // clean rounds in a row
    this.said = null; // what the student says of the round that is played: clean, not clean, nothing
    this.heard = null; // what he said last while this round is played, of this one or the one before
    this.before = null; // how it was when the last round ended
    this.stepped = null; // the step after the last round, {faster, isOtherKey}; nothing where none came
  }

  /** Whether tempo and key go on after the round that is played, as things stand. */
  get steps() {
    const { clean, asked } = this.wishes.machine;
    return (this.said ?? !asked) && this.count + 1 >= clean;
  }

  /** A round is over: it counts, or the count begins again, or it stays; then comes the step. */
  roundOver() {
    const { wishes, said } = this;
    const { clean, asked } = wishes.machine;
    this.before = { count: this.count, standing: standing(wishes) };
    this.said = null;
    this.heard = null;
    this.stepped = null;
    if (said === false) this.count = 0;
    else if (said || !asked) this.count += 1;
    if (this.count >= clean) {
      this.count = 0;
      const { tempo, key } = wishes;
      wishes.roundOver();
      this.stepped = { faster: wishes.tempo - tempo, isOtherKey: wishes.key !== key };
    }
    this.before.after = { tempo: wishes.tempo, key: wishes.key };
  }

  /**
   * The student says whether a round was clean. ofLast: the round before the one that is played now,
   * of which the count and the step are made anew; tempo and key stay if they were changed since.
   */
  judge(isClean, ofLast) {
    const { before } = this;
    if (!ofLast || !before) this.said = isClean;
    else this.#again(isClean);
    this.heard = isClean;
  }

  #again(isClean) {
    const { wishes, before } = this;
    if (wishes.tempo !== before.after.tempo || wishes.key !== before.after.key) {
      if (!isClean) this.count = 0;
      return;
    }
    moveTo(wishes, before.standing);
    this.count = before.count;
    this.said = isClean;
    this.roundOver();
  }
}
