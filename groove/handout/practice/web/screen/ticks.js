// The ticks of the practice plan, which stay on the device with the form.

import { Kept } from "../kept/kept.js";

const NAME = "ticks";

export class Ticks {
  constructor(track) {
    this.store = new Kept(track);
  }

  get on() {
    return new Set(this.store.get(NAME, []).filter((tick) => typeof tick === "string"));
  }

  has(tick) {
    return this.on.has(tick);
  }

  set(tick, isOn) {
    const { on } = this;
    on[isOn ? "add" : "delete"](tick);
    this.store.set(NAME, on.size ? [...on] : null);
  }

  /** Takes all ticks away. */
  clear() {
    this.store.set(NAME, null);
  }
}
