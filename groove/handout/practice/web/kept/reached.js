// The tempo reached: the highest at which all bars were played through, from the first to the last, by key.

import { barAt } from "../music/road.js";

const NAME = "reached";
const STEP_SECONDS = 0.1;

export class Reached {
  /** store: the form's. told: called when a tempo is the highest in its key. */
  constructor(store, told = () => {}) {
    Object.assign(this, { store, told });
    this.reset();
  }

  /** The highest tempi by the numbers of their keys. */
  get all() {
    const kept = Object.entries(this.store.get(NAME, {})).map(([key, tempo]) => [Number(key), tempo]);
    return new Map(kept.filter(([, tempo]) => Number.isFinite(tempo)));
  }

  /** Takes the round that is played out of account, because it was interrupted. */
  reset() {
    this.round = null;
    this.seen = null;
  }

  /**
   * Follows the music up to a time of the sound's clock, from where it was followed to before; between
   * two calls it is looked at in small steps. placeAt: the place in the music at a time.
   */
  follow(time, placeAt, settings) {
    for (let at = Math.max(this.seen ?? time, time - 60); at <= time; at += STEP_SECONDS) {
      this.#see(placeAt(at), settings);
      this.seen = at + STEP_SECONDS;
    }
  }

  #see(place, { track, wholeForm }) {
    const plays = place?.stage === "playing" && wholeForm;
    if (this.round && !(plays && place.round === this.round.number)) this.#over(place);
    if (!plays) return;
    this.round ??= { number: place.round, key: place.key, tempo: Infinity, isFirst: false, isLast: false };
    const bar = barAt(track, place.tick) % track.bars;
    this.round.isFirst ||= bar === 0;
    this.round.isLast ||= bar === track.bars - 1;
    this.round.tempo = Math.min(this.round.tempo, place.tempo);
    if (place.key !== this.round.key) this.round.isFirst = false; // it has no key of its own
  }

  /** A round has come to its end, or was left. */
  #over(place) {
    const { key, tempo, isFirst, isLast, number } = this.round;
    this.round = null;
    const isThrough = isFirst && isLast && place && (place.stage !== "playing" || place.round === number + 1);
    if (!isThrough || tempo <= (this.all.get(key) ?? 0)) return;
    this.store.set(NAME, { ...this.store.get(NAME, {}), [key]: tempo });
    this.told();
  }
}
