// The beginnings of a new lesson: nothing, a file of one's own, or a form that comes with groove.

import { html } from "../../practice/screen/svg.js";
import { say, wordFor } from "../../practice/music/words.js";

const $ = (id) => document.getElementById(id);
const PIECE = 0x8000; // bytes that become text at a time

export class Starts {
  #isLoaded = false;

  /** begin: called with a wish for a new lesson. asked: asks the server. */
  constructor({ begin, asked, choices }) {
    Object.assign(this, { begin, asked });
    this.keys = new Map(choices.key);
    const empty = this.#start(say("lessons.start.empty"), say("lessons.start.empty_about"), () => this.#begin({ from: "empty" }));
    const own = this.#start(say("lessons.start.file"), say("lessons.start.file_about"), () => $("own-file").click(), "choose");
    $("starts").append(empty, own);
    $("own-file").addEventListener("change", () => this.#take());
  }

  /** Says what a new lesson takes over of the teacher's, and from which lesson. */
  showVoice({ title, says }) {
    $("start-voice").hidden = !says.length;
    $("start-voice").textContent = say("lessons.start.voice", { title, says: says.join("; ") });
  }

  /** Gets the forms that come with groove, once. */
  async load() {
    if (this.#isLoaded) return;
    this.#isLoaded = true;
    try {
      const forms = await this.asked("lessons/shipped");
      $("shipped").replaceChildren(...forms.map((form) => this.#shipped(form)));
    } catch {
      this.#isLoaded = false; // the next time
    }
  }

  #shipped({ name, title, about, key, feel, bars }) {
    const facts = say("lessons.start.facts", { bars, key: this.keys.get(key) ?? key, feel: wordFor("feels", feel) });
    return this.#start(title, about, () => this.#begin({ from: "shipped", name }), "begin", facts);
  }

  /** A row with what one can start with, its words, and the button. */
  #start(title, about, act, word = "begin", facts = "") {
    const said = say("lessons.start.begin_said", { title });
    const button = html("button", { type: "button", "aria-label": `${say(`lessons.start.${word}`)}: ${title}` }, say(`lessons.start.${word}`));
    if (word === "begin") button.setAttribute("aria-label", said);
    button.addEventListener("click", act);
    const words = html("div", {}, html("p", { class: "start-title" }, title), html("p", { class: "hint" }, about));
    if (facts) words.append(html("p", { class: "hint" }, facts));
    return html("li", {}, words, button);
  }

  #begin(wish) {
    return this.begin({ ...wish, title: $("new-title").value });
  }

  /** Sends the file that was chosen, byte for byte. */
  async #take() {
    const file = $("own-file").files[0];
    $("own-file").value = ""; // so that the same one can be chosen again
    if (!file) return;
    const bytes = new Uint8Array(await file.slice(0, 200_000).arrayBuffer()); // more is refused there
    let text = "";
    for (let at = 0; at < bytes.length; at += PIECE) text += String.fromCharCode(...bytes.subarray(at, at + PIECE));
    await this.#begin({ from: "file", name: file.name, content: btoa(text) });
  }
}
