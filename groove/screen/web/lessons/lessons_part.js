// The part of the page for the lessons of the folder: the earlier ones, and the beginning of a new one.

import { say } from "../../practice/music/words.js";
import { LessonList } from "./lesson_list.js";
import { Starts } from "./starts.js";

const $ = (id) => document.getElementById(id);
const PATIENCE = 2000; // ms for what was typed to be kept before the page goes to another lesson
const STEP = 50;

export class LessonsPart {
  #name = "";
  #asking = null; // a promise while the list is on its way

  /** context: what all parts share, see parts.js. */
  constructor(context) {
    Object.assign(this, context);
    const go = (name) => this.#go(name);
    const begin = (wish) => this.#begin(wish);
    const rename = (name) => this.#rename(name);
    this.list = new LessonList({ go, rename, begin, announce: this.announce, choices: this.choices });
    this.starts = new Starts({ begin, asked: this.asked, choices: this.choices });
    $("to-start").addEventListener("click", () => this.#toStart());
    addEventListener("focus", () => this.#isVisible && this.#look());
  }

  /** Shows a state of the form. */
  show({ name }) {
    this.#name = name;
  }

  /** Called each time the part becomes visible. */
  opened() {
    this.starts.load();
    this.#look();
  }

  get #isVisible() {
    return !$("part-lessons").hidden;
  }

  #look() {
    this.#asking ??= this.#ask().finally(() => (this.#asking = null));
    return this.#asking;
  }

  /** Gets the list, again and again until each lesson has been checked. */
  async #ask() {
    try {
      let isWhole = false;
      while (!isWhole && this.#isVisible) {
        const { folder, lessons, voice } = await this.asked("lessons/list");
        $("lessons-folder").textContent = say("lessons.folder", { folder });
        this.list.show(lessons, this.#name);
        this.starts.showVoice(voice);
        isWhole = lessons.every(({ mistakes }) => mistakes !== null);
      }
      this.#tell();
    } catch (error) {
      this.#tell(error);
    }
  }

  /** Begins a lesson and goes to it. Resolves with whether that went well. */
  async #begin(wish) {
    try {
      await this.#keptHere();
      const { name } = await this.asked("lessons/new", wish);
      await this.#go(name);
      return true;
    } catch (error) {
      this.#tell(error);
      $("lessons-trouble").scrollIntoView({ block: "center" });
      return false;
    }
  }

  /** Resolves once all that was typed here is kept. */
  async #keptHere() {
    this.state.flush();
    const begun = performance.now();
    while (this.state.isBehind && performance.now() - begun < PATIENCE) {
      await new Promise((over) => setTimeout(over, STEP));
    }
  }

  /** Goes to the page of a lesson. */
  async #go(name) {
    await this.#keptHere();
    location.href = `../${encodeURIComponent(name)}/`;
    if (name === this.#name) location.hash = "form"; // it is this page
  }

  /** Has the file of a lesson renamed; where it is this page's, the page goes to its new address. */
  async #rename(name) {
    try {
      await this.#keptHere();
      const { name: now } = await this.asked("lessons/rename", { name });
      if (name === this.#name) {
        location.href = `../${encodeURIComponent(now)}/#lessons`;
        return;
      }
      await this.#look();
      this.list.focus(now);
      this.announce(say("lessons.list.renamed", { name: now }));
    } catch (error) {
      this.#tell(error);
      $("lessons-trouble").scrollIntoView({ block: "center" });
    }
  }

  #toStart() {
    $("start").scrollIntoView();
    $("new-title").focus();
  }

  /** Shows what went wrong; nothing where all went well. */
  #tell(error = null) {
    const isKnown = error && error.message !== "failed" && !(error instanceof TypeError);
    $("lessons-trouble").textContent = isKnown ? error.message : error ? say("lessons.failed") : "";
    $("lessons-trouble").hidden = !error;
  }
}
