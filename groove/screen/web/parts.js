// The parts of the page, one of which is shown: the form, and those that are loaded when they are opened.

const MODULES = {
  band: ["./band/band_part.js", "BandPart"],
  lesson: ["./lesson/lesson_part.js", "LessonPart"],
  posting: ["./posting/posting_part.js", "PostingPart"],
  lessons: ["./lessons/lessons_part.js", "LessonsPart"],
};
const FIRST = "form";

const placeOf = (name) => document.getElementById(`part-${name}`);

export class Parts {
  #made = {};

  /**
   * context: what all parts get: the FormState `state`, the ListenView `listen`, `announce` for words to be read
   * out, the server's `choices` and `asked`.
   */
  constructor(context) {
    this.context = context;
    this.open = FIRST;
    this.opening = null; // a promise while a part is loaded
    addEventListener("hashchange", () => this.#turn());
  }

  /** Opens the part that the address names. */
  begin() {
    this.#turn();
  }

  /** Opens a part; its way back is the browser's. */
  go(name) {
    if (name === this.open) return;
    location.hash = name;
    this.#turn();
  }

  /** Opens a part that is loaded when it is opened, and resolves with it. */
  async reach(name) {
    this.go(name);
    await this.opening;
    return this.#made[name];
  }

  /** Shows a state of the form in all parts that have been opened. */
  show(now) {
    for (const part of Object.values(this.#made)) part.show(now);
  }

  #turn() {
    const name = location.hash.slice(1);
    const next = name in MODULES ? name : FIRST;
    const isOther = next !== this.open;
    this.open = next;
    for (const each of [FIRST, ...Object.keys(MODULES)]) placeOf(each).hidden = each !== next;
    for (const link of document.querySelectorAll("#parts a")) {
      if (link.hash === `#${next}`) link.setAttribute("aria-current", "page");
      else link.removeAttribute("aria-current");
    }
    document.getElementById("bar-commands").hidden = next !== FIRST;
    if (isOther) scrollTo(0, 0);
    if (next !== FIRST) this.opening = this.#opened(next);
  }

  async #opened(name) {
    if (!this.#made[name]) {
      const [path, exported] = MODULES[name];
      const module = await import(path);
      if (!this.#made[name]) {
        this.#made[name] = new module[exported](this.context);
        this.#made[name].show(this.context.state.now);
      }
    }
    this.#made[name].opened();
  }
}
