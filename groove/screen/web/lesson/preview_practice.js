// The practice page in a frame that reaches nothing else, made on request.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";
import { troubleOf } from "./preview_choice.js";

const MEGABYTE = 1e6;

export class PracticePreview {
  #version = 0; // of the last form without mistakes
  #made = ""; // what the page in the frame was made of
  #step = null; // the step at which a page is that is being made
  #number = 0; // of the page that is made
  #size = 0; // its bytes
  #trouble = "";
  #hasForm = false;

  /** context: what all parts share, see parts.js. forWhom: called for the name of whom the page is for. */
  constructor({ asked, state, listen, announce }, forWhom) {
    Object.assign(this, { ask: asked, listen, announce, forWhom });
    this.button = html("button", { type: "button", "aria-describedby": "practice-hint" }, say("preview.page.make"));
    this.button.addEventListener("click", () => this.#make());
    this.bar = html("progress", { max: 100, "aria-labelledby": "practice-said" });
    this.said = html("p", { id: "practice-said", class: "hint" });
    this.tab = html("a", { class: "act", href: "preview/practice/page", target: "_blank", rel: "noopener" }, say("preview.page.tab"));
    this.save = html("a", { class: "act", href: "preview/practice/file", download: true }, say("preview.page.save"));
    this.place = html("div", { class: "practice-frame" });
    const heading = html("h3", { id: "practice-title" }, say("preview.page.heading"));
    const hint = html("p", { id: "practice-hint", class: "hint" }, say("preview.page.hint"));
    const acts = html("div", { class: "fields" }, this.button, this.tab, this.save);
    this.element = html("section", { id: "practice", "aria-labelledby": "practice-title" }, heading, hint, acts, this.bar, this.said, this.place);
    addEventListener("blur", () => this.#listenThere());
    addEventListener("hashchange", () => setTimeout(() => this.#close()));
    state.on("practice", (words) => this.#progress(...words.split(" ")));
    this.#say();
  }

  /** Shows a state of the form. */
  show(now) {
    if (now.isValid || !this.#version) this.#version = now.version;
    this.#hasForm = Boolean(now.facts);
    this.#say();
  }

  /** Says whether the page is still what is chosen. */
  refresh() {
    this.#say();
  }

  get #wanted() {
    return `${this.#version} ${this.forWhom()}`;
  }

  async #make() {
    if (this.#step || !this.#hasForm) return;
    this.#step = "notes";
    this.bar.value = 0;
    this.#trouble = "";
    const wanted = this.#wanted;
    this.#say();
    try {
      const { number, bytes } = await this.ask("preview/practice", { for: this.forWhom() });
      this.#made = wanted;
      this.#size = bytes;
      this.#number = number;
      this.#open();
    } catch (error) {
      this.#trouble = troubleOf(error);
    }
    this.#step = null;
    this.#say();
    this.announce(this.said.textContent);
  }

  #progress(step, percent) {
    if (!this.#step) return; // another window has it made
    this.#step = step;
    this.bar.value = Number(percent);
    this.#say();
  }

  /** Called each time the part becomes visible. */
  opened() {
    if (this.#number && !this.place.firstChild) this.#open();
  }

  /** Shows the page as it opens for the first time. */
  #open() {
    const src = `preview/practice/page?${this.#number}`;
    const frame = html("iframe", { title: say("preview.page.frame"), sandbox: "allow-scripts allow-downloads", src });
    this.place.replaceChildren(frame);
  }

  /** Stops the band of the screen once one presses or goes into the page, which has its own. */
  #listenThere() {
    const isThere = this.place.firstChild && document.activeElement === this.place.firstChild;
    if (isThere && this.listen.listening.playing) this.listen.playOrStop();
  }

  /** Takes the page away where another part is shown, as one could not stop its band from there. */
  #close() {
    if (!this.element.checkVisibility()) this.place.replaceChildren();
  }

  #say() {
    const isBusy = Boolean(this.#step);
    this.bar.hidden = !isBusy;
    this.button.setAttribute("aria-disabled", String(isBusy || !this.#hasForm));
    this.button.textContent = say(`preview.page.${this.#size ? "again" : "make"}`);
    for (const each of [this.tab, this.save]) each.hidden = !this.#size;
    const words = this.#words();
    this.said.hidden = !words;
    if (this.said.textContent !== words) this.said.textContent = words;
  }

  #words() {
    if (this.#step) return say(`preview.page.making.${this.#step}`);
    if (this.#trouble === "failed") return say("preview.page.failed");
    if (this.#trouble) return say("preview.page.trouble", { trouble: this.#trouble });
    if (!this.#size) return "";
    if (this.#made !== this.#wanted) return say("preview.page.old");
    return say("preview.page.made", { size: inMegabytes(this.#size) });
  }
}

/** A size in MB with one digit after the sign of the page's language. */
function inMegabytes(bytes) {
  const digits = { minimumFractionDigits: 1, maximumFractionDigits: 1 };
  return (bytes / MEGABYTE).toLocaleString(document.documentElement.lang, digits);
}
