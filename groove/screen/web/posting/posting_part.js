// The part of the page that makes everything to post of a lesson, and shows what was made.

import { say } from "../../practice/music/words.js";
import { MadeView } from "./made_view.js";
import { RunView } from "./run_view.js";
import { WishView } from "./wish_view.js";

const $ = (id) => document.getElementById(id);
const CALM = 400; // ms without a change after which it is counted what that takes
const KEPT = 3000; // ms in which what was typed into the form is kept
const LOOK = 50; // ms between two looks whether it is

export class PostingPart {
  #timer = 0;
  #asked = 0; // the number of the last estimate
  #ends = 0; // of runs that the server has told of
  #version = -1; // of the form whose choices are shown
  #wish = null; // shown until the form has choices

  /** context: what all parts share, see parts.js. */
  constructor(context) {
    Object.assign(this, context);
    this.wish = new WishView($("wish"), () => this.#count());
    this.run = new RunView(this.announce);
    this.made = new MadeView(context);
    this.state.on("posting", (told) => this.#told(told));
    $("begin").addEventListener("click", () => this.#begin());
    $("stop").addEventListener("click", () => this.#stop());
    $("made-track").addEventListener("play", () => this.listen.listening?.playing && this.listen.playOrStop(), true);
    $("play").addEventListener("click", () => this.made.hush());
    addEventListener("focus", () => this.#isSeen && this.#refresh());
  }

  /** Shows a state of the form. */
  show(now) {
    if (this.#isSeen && now.version !== this.#version) this.#refresh();
  }

  /** Called each time the part becomes visible. */
  opened() {
    this.#sign("");
    this.#refresh();
  }

  get #isSeen() {
    return !$("part-posting").hidden;
  }

  /** Gets what can be chosen, and what was made; what is chosen on the page stays. */
  async #refresh() {
    this.#version = this.state.now.version;
    const ends = this.#ends;
    const found = await this.#ask("posting/now");
    if (ends !== this.#ends) return this.#refresh(); // the answer is of before the run's end
    if (!found) return null;
    $("posting-waits").hidden = Boolean(found.choices);
    $("posting-all").hidden = !found.choices;
    if (!found.choices) return found;
    if (!this.#wish) this.#showSource(found.asFor);
    this.wish.show(found.choices, this.#wish ? null : found.wish);
    this.#wish = this.wish.wish;
    this.run.showProgress(found.progress);
    this.run.showOutcome(found.outcome);
    this.made.show(found.contents, found.choices.keys[0][1], this.run.isOn);
    if (!this.run.isOn) this.#count();
    return found;
  }

  /** Shows beside the way to this part how the run stands, for who is in another one. */
  #sign(state) {
    const link = document.querySelector("#parts a[href='#posting']");
    if (state) link.dataset.run = state;
    else delete link.dataset.run;
  }

  /** Says of which pack the choices are, where it is another lesson's. */
  #showSource(folder) {
    $("as-for").hidden = !folder;
    $("as-for").textContent = say("posting.as_for", { folder });
  }

  /** Asks what all that takes, once nothing has changed for a while. */
  #count() {
    this.#wish = this.wish.wish;
    if (this.run.isOn) return;
    clearTimeout(this.#timer);
    const number = (this.#asked += 1);
    this.run.showExpected(null);
    this.#timer = setTimeout(() => this.#counted(number), CALM);
  }

  async #counted(number) {
    let expected = null;
    try {
      expected = await this.asked("posting/expected", this.wish.wish);
    } catch ({ message }) {
      expected = say("posting.expected.trouble", { trouble: message });
    }
    if (number === this.#asked && !this.run.isOn) this.run.showExpected(expected);
  }

  async #begin() {
    if ($("begin").getAttribute("aria-disabled") === "true") return;
    $("begin").setAttribute("aria-disabled", "true");
    await this.#kept();
    clearTimeout(this.#timer);
    this.#asked += 1;
    try {
      await this.asked("posting/begin", this.wish.wish);
      this.announce(say("posting.run.beginning"));
      await this.#refresh();
    } catch ({ message }) {
      this.run.showExpected(say("posting.expected.trouble", { trouble: message }));
    }
  }

  /** Resolves once all that was typed into the form has reached the server. */
  async #kept() {
    this.state.flush();
    const end = performance.now() + KEPT;
    while (this.state.isBehind && performance.now() < end) await new Promise((over) => setTimeout(over, LOOK));
  }

  async #stop() {
    if ($("stop").getAttribute("aria-disabled") === "true") return;
    this.announce(say("posting.run.stopping"));
    await this.#ask("posting/stop", {});
  }

  /** The server tells how far the run is. */
  async #told(told) {
    const progress = JSON.parse(told);
    this.run.showProgress(progress);
    this.#sign(this.#isSeen ? "" : progress.state);
    if (this.run.isOn) return;
    this.#ends += 1;
    const found = await this.#refresh();
    if (found?.outcome) this.announce(this.run.showOutcome(found.outcome));
  }

  /** Resolves with what the server answers, null where it does not; the page says so itself. */
  async #ask(path, body) {
    try {
      return await this.asked(path, body);
    } catch {
      return null;
    }
  }
}
