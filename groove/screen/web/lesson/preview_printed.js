// The pages of chart and sheet as they will be printed, made anew after an edit once they are in view.

import { html } from "../../practice/screen/svg.js";
import { say, sayMany, wordsAt } from "../../practice/music/words.js";
import { chosen, troubleOf } from "./preview_choice.js";
import { PaperSheets } from "./preview_sheets.js";

const REST = 300; // ms after an edit: its chart and its music come first
const AGAIN = 1000; // ms until pages are asked for again that could not be fetched

export class PrintedPreview {
  #now = null;
  #version = 0; // of the last form without mistakes
  #timer = 0;
  #inView = false;
  #busy = false;
  #asked = ""; // what was asked for last: a version and the choices
  #count = 0;
  #leftOut = []; // the headings of what the sheet has nothing of
  #trouble = "";

  /** context: what all parts share, see parts.js. forWhom: called for the name of whom the pages are for. */
  constructor({ asked }, forWhom) {
    Object.assign(this, { ask: asked, forWhom });
    const changed = () => this.refresh();
    this.kind = chosen("kind", say("preview.printed.kind"), wordsAt("preview.printed.kinds"), changed);
    this.paper = chosen("paper", say("preview.printed.paper"), wordsAt("preview.printed.papers"), changed);
    this.sheets = new PaperSheets();
    this.large = html("button", { type: "button", "aria-pressed": "false" }, say("preview.printed.large"));
    this.sheets.enlarged = (isLarge) => this.large.setAttribute("aria-pressed", String(isLarge));
    this.sheets.lost = () => this.#askAgain();
    this.sheets.words.addEventListener("toggle", () => this.#make());
    this.large.addEventListener("click", () => this.sheets.enlarge());
    this.save = html("a", { class: "act", download: true }, say("preview.printed.save"));
    this.said = html("p", { class: "hint", role: "status" });
    this.tools = html("div", { class: "fields" }, this.kind.element, this.paper.element, this.large, this.save);
    const heading = html("h3", { id: "printed-title" }, say("preview.printed.heading"));
    this.element = html("section", { id: "printed", "aria-labelledby": "printed-title" }, heading, this.tools, this.said, this.sheets.element, this.sheets.words);
    new IntersectionObserver((entries) => this.#see(entries.at(-1).isIntersecting)).observe(this.element);
  }

  /** Shows a state of the form. */
  show(now) {
    if (now.isValid || !this.#version) this.#version = now.version;
    this.#now = now;
    if (this.#trouble === "failed") this.#asked = "";
    this.refresh(REST);
  }

  /** Makes the pages anew where they are out of date, after a rest in ms. */
  refresh(rest = 0) {
    this.save.href = `preview/pdf?${this.#choices}`;
    this.#say();
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#make(), rest);
  }

  /** Called each time the part becomes visible. */
  opened() {
    this.refresh();
  }

  #askAgain() {
    this.#asked = "";
    this.refresh(AGAIN);
  }

  #see(inView) {
    this.#inView = inView;
    if (inView) this.#make();
  }

  get #choices() {
    return new URLSearchParams({ kind: this.kind.value, for: this.forWhom(), paper: this.paper.value });
  }

  get #wanted() {
    return `${this.#version} ${this.#choices}`;
  }

  /** Whether the pages are in the window, or their text is open, which a screen reader reads anywhere. */
  get #isRead() {
    return this.#inView || (this.sheets.words.open && this.element.checkVisibility());
  }

  get #isDue() {
    return Boolean(this.#isRead && this.#now?.facts && this.#wanted !== this.#asked);
  }

  /** Asks for the newest pages, again and again while what is wanted changes meanwhile. */
  async #make() {
    if (this.#busy) return;
    this.#busy = true;
    while (this.#isDue) await this.#makeOnce();
    this.#busy = false;
    this.#say();
  }

  async #makeOnce() {
    this.#say();
    this.#asked = this.#wanted;
    this.#trouble = "";
    try {
      const found = await this.ask(`preview/pages?${this.#choices}`);
      this.#count = found.pages.length;
      this.#leftOut = found.leftOut;
      this.sheets.show(found);
    } catch (error) {
      this.#count = 0;
      this.#trouble = troubleOf(error);
    }
  }

  #say() {
    const hasForm = Boolean(this.#now?.facts);
    for (const each of [this.tools, this.sheets.element, this.sheets.words]) each.hidden = !hasForm || (each !== this.tools && !this.#count);
    const words = hasForm ? this.#words() : say("preview.printed.nothing");
    if (this.said.textContent !== words) this.said.textContent = words;
  }

  #words() {
    if (this.#busy && this.#isDue) return say(`preview.printed.${this.#count ? "anew" : "making"}`);
    if (this.#trouble === "failed") return say("preview.printed.failed");
    if (this.#trouble) return say("preview.printed.trouble", { trouble: this.#trouble });
    if (!this.#count) return say("preview.printed.making");
    const words = [sayMany("preview.printed.made", this.#count)];
    if (this.#leftOut.length) words.push(say("preview.printed.left_out", { parts: this.#leftOut.join(", ") }));
    if (!this.#now.isValid) words.push(say("preview.printed.behind"));
    return words.join(" ");
  }
}
