// A steady reading from one pitch after another: the median of the last few, once some agree.

const KEPT = 5;
const AGREEING = 3; // readings that have to agree
const FIRST_CENTS = 5; // by which they may differ at first: the beginning of a note is no pitch yet
const ON_CENTS = 30; // the same while a note goes on: its peg may be turned
const LEFT_OUT = 3; // readings without a pitch, or that don't agree, after which there is none

export class Steady {
  constructor() {
    this.reset();
  }

  reset() {
    Object.assign(this, { last: [], hertz: null, out: 0 });
  }

  /** Takes the pitch of the next moment, null for none; returns the steady one in hertz, null for none. */
  take(hertz) {
    if (hertz === null) return this.#leaveOut();
    this.last = [...this.last, hertz].slice(-KEPT);
    const few = this.last.slice(-AGREEING);
    const apart = 1200 * Math.log2(Math.max(...few) / Math.min(...few));
    if (few.length < AGREEING || apart > (this.hertz === null ? FIRST_CENTS : ON_CENTS)) return this.#leaveOut(false);
    const middle = median(few);
    this.out = 0;
    this.hertz = median(this.last.filter((one) => Math.abs(1200 * Math.log2(one / middle)) < ON_CENTS));
    return this.hertz;
  }

  #leaveOut(isSilent = true) {
    this.out += 1;
    if (this.out > LEFT_OUT) this.hertz = null;
    if (isSilent && this.out > LEFT_OUT) this.last = [];
    return this.hertz;
  }
}

function median(numbers) {
  const sorted = [...numbers].sort((one, other) => one - other);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : Math.sqrt(sorted[half - 1] * sorted[half]);
}
