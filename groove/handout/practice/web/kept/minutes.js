// The minutes that were practised, by day: they count while something runs, by the clock of the sound.

const SETTLE_MS = 5000;
const NAME = "minutes";
const DAYS = 7;
const MOST_PIECES = 1000;

/** A day of the device's calendar, "2031-05-09". */
function dayOf(date) {
  const two = (number) => String(number).padStart(2, "0");
  return [date.getFullYear(), two(date.getMonth() + 1), two(date.getDate())].join("-");
}

/** The midnight before so many days. */
function midnight(now, days = 0) {
  return new Date(now.getFullYear(), now.getMonth(), now.getDate() - days);
}

/** The seconds before now by their days. */
function byDay(seconds, now = new Date()) {
  const days = {};
  let left = seconds;
  for (let back = 0, end = now; left > 0; end = midnight(now, back++)) {
    const here = Math.min(left, (end - midnight(now, back)) / 1000);
    if (here > 0) days[dayOf(midnight(now, back))] = here;
    left -= here;
  }
  return days;
}

export class Minutes {
  /**
   * store: the form's. clock: the seconds of sound so far. Each open page has a piece of its own in the
   * store, so that two of them take nothing from each other.
   */
  constructor(store, clock) {
    Object.assign(this, { store, clock, running: new Set(), timer: null });
    this.piece = `${NAME}-${Math.random().toString(36).slice(2)}`;
    addEventListener("pagehide", () => this.settle());
  }

  /** Says that something runs from now on, or no longer. */
  run(name, on) {
    if (this.running.has(name) === on) return;
    this.settle();
    this.running[on ? "add" : "delete"](name);
    this.from = this.clock();
    clearInterval(this.timer);
    if (this.running.size) this.timer = setInterval(() => this.settle(), SETTLE_MS);
  }

  /** Keeps what has run so far. */
  settle() {
    if (!this.running.size) return;
    const now = this.clock();
    this.add(now - this.from);
    this.from = now;
  }

  /** Adds seconds that end now. */
  add(seconds) {
    if (!(seconds > 0)) return;
    const kept = this.store.get(this.piece, {});
    for (const [day, more] of Object.entries(byDay(seconds))) kept[day] = (kept[day] ?? 0) + more;
    this.store.set(this.piece, kept);
    this.told?.();
  }

  /** Seconds of today, and of the last seven days; days that are to come, as a clock that was wrong had them, count with these. */
  sums(now = new Date()) {
    const [today, first] = [dayOf(now), dayOf(midnight(now, DAYS - 1))];
    const sums = { today: 0, week: 0 };
    for (const piece of this.store.all(NAME, {}).values()) {
      for (const [day, seconds] of Object.entries(piece)) {
        if (!Number.isFinite(seconds)) continue;
        if (day === today) sums.today += seconds;
        if (day >= first) sums.week += seconds;
      }
    }
    return sums;
  }
}
