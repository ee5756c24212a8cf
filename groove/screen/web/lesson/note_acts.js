// The buttons that change the chosen note of a phrase: its length, how it is joined and bent, and what a press on the neck does.

import { html } from "../../practice/screen/svg.js";
import { say, wordsAt } from "../../practice/music/words.js";
import { inBeats } from "./note_row.js";
import { LENGTHS } from "./notes_model.js";

const PRESSES = ["next", "together", "instead"];
const JOINS = { hammer: "h", pull: "p", slide: "s" };
const BENDS = ["", "1/4", "1/2", "1"];
const NEEDS_NOTE = ["hammer", "pull", "slide", "release"];

let boards = 0;

export class NoteActs {
  press = "next"; // what the next press on the neck does

  /** model: the NotesModel. changed: called after each change of it. */
  constructor(model, changed) {
    Object.assign(this, { model, changed });
    this.lengths = LENGTHS.map((length) => this.#button(length, () => model.setLength(length), { "aria-label": inBeats(length) }));
    this.presses = PRESSES.map((press) => this.#button(say(`lesson.notes.press.${press}`), () => (this.press = press), {}, false));
    this.acts = {
      rest: () => model.rest(),
      hold: () => model.hold(),
      line: () => model.line(),
      hammer: () => model.join(JOINS.hammer),
      pull: () => model.join(JOINS.pull),
      slide: () => model.join(JOINS.slide),
      release: () => model.release(),
      remove: () => model.remove(),
    };
    this.buttons = Object.fromEntries(Object.entries(this.acts).map(([name, act]) => [name, this.#button(say(`lesson.notes.acts.${name}`), act)]));
    this.bend = this.#bends();
    const { rest, hold, line, hammer, pull, slide, release, remove } = this.buttons;
    this.presser = html("div", { class: "note-acts" }, this.#group("press", ...this.presses));
    this.element = html(
      "div",
      { class: "note-acts" },
      this.#group("lengths", ...this.lengths),
      this.#group("acts", rest, hold, line, hammer, pull, slide, this.bend.label, release, remove),
    );
  }

  /** What keys do: by the key. */
  get keys() {
    const { model } = this;
    const does = (act) => () => this.#do(act);
    const whole = Object.fromEntries(["1", "2", "3", "4"].map((length) => [length, does(() => model.setLength(length))]));
    return {
      ...whole,
      "+": does(() => model.stretch(1)),
      "-": does(() => model.stretch(-1)),
      ArrowUp: does(() => model.shift(1)),
      ArrowDown: does(() => model.shift(-1)),
      Delete: does(this.acts.remove),
      Backspace: does(this.acts.remove),
      r: does(this.acts.rest),
      "~": does(this.acts.hold),
      "|": does(this.acts.line),
      h: does(this.acts.hammer),
      p: does(this.acts.pull),
      s: does(this.acts.slide),
      b: does(() => model.bend(BENDS[(BENDS.indexOf(model.note?.bend ?? "") + 1) % BENDS.length])),
    };
  }

  /** Shows what holds of the chosen note. */
  show() {
    const { model } = this;
    const { note, current } = model;
    this.lengths.forEach((button, n) => button.setAttribute("aria-pressed", String(LENGTHS[n] === model.length)));
    this.presses.forEach((button, n) => button.setAttribute("aria-pressed", String(PRESSES[n] === this.press)));
    for (const [name, letter] of Object.entries(JOINS)) this.buttons[name].setAttribute("aria-pressed", String(note?.join === letter));
    this.buttons.release.setAttribute("aria-pressed", String(Boolean(note?.released)));
    for (const name of NEEDS_NOTE) this.buttons[name].setAttribute("aria-disabled", String(!note || (name === "release" && !note.bend)));
    this.buttons.remove.setAttribute("aria-disabled", String(!current));
    this.buttons.hold.setAttribute("aria-disabled", String(!current));
    this.bend.select.value = note?.bend ?? "";
    this.bend.select.disabled = !note;
  }

  #do(act) {
    act();
    this.changed();
  }

  #button(words, act, attributes = {}, isChange = true) {
    const button = html("button", { type: "button", ...attributes }, words);
    button.addEventListener("click", () => {
      if (button.getAttribute("aria-disabled") === "true") return;
      if (isChange) this.#do(act);
      else act();
      this.show();
    });
    return button;
  }

  #bends() {
    const id = `bend-${(boards += 1)}`;
    const words = wordsAt("lesson.notes.bends");
    const options = BENDS.map((bend) => html("option", { value: bend }, words[bend || "none"]));
    const select = html("select", { id }, ...options);
    select.addEventListener("change", () => this.#do(() => this.model.bend(select.value)));
    return { select, label: html("label", { class: "bend-choice", for: id }, html("span", { class: "unseen" }, words.label), select) };
  }

  #group(name, ...children) {
    const label = html("span", { class: "hint", "aria-hidden": "true" }, say(`lesson.notes.${name}.group`));
    const buttons = html("div", { class: "buttons" }, ...children);
    return html("div", { role: "group", "aria-label": say(`lesson.notes.${name}.group`), class: name }, label, buttons);
  }
}
