// Ticks that stay on the device, by the title and the version of the form. Where the browser keeps
// nothing, or may not, they last as long as the page is open.

const NAME = "groove ticks";

export class Ticks {
  constructor({ title, version }) {
    this.form = `${NAME} ${JSON.stringify(title)} `;
    this.name = this.form + version;
    this.on = new Set();
    this.isKept = false;
    try {
      const kept = JSON.parse(localStorage.getItem(this.name) ?? "[]");
      if (Array.isArray(kept)) this.on = new Set(kept.filter((tick) => typeof tick === "string"));
      this.isKept = this.#keep();
    } catch {
      // no storage, or nonsense in it
    }
  }

  has(tick) {
    return this.on.has(tick);
  }

  set(tick, isOn) {
    this.on[isOn ? "add" : "delete"](tick);
    this.#keep();
  }

  /** Forgets all ticks of this form, also those of its earlier versions. */
  forget() {
    this.on.clear();
    try {
      for (const name of Object.keys(localStorage)) if (name.startsWith(this.form)) localStorage.removeItem(name);
    } catch {
      // no storage
    }
  }

  /** Keeps the ticks, and returns whether that is possible; without any, nothing is left. */
  #keep() {
    try {
      localStorage.setItem(this.name, JSON.stringify([...this.on]));
      if (!this.on.size) localStorage.removeItem(this.name);
      return true;
    } catch {
      return false;
    }
  }
}
