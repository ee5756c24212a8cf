// A phrase of the teacher's: its name and remark, its tablature, how it sounds, and where its notes are written.

import { lineInWords, lineTab, barsOf } from "../../practice/screen/line_view.js";
import { html } from "../../practice/screen/svg.js";
import { playedLine } from "../../practice/music/lines.js";
import { say } from "../../practice/music/words.js";
import { TextField } from "../fields/text_field.js";
import { NoteWriter } from "./note_writer.js";

const FIELDS = ["name", "words", "over", "tuning"];
const KEPT_APART = ["over", "tuning"]; // shown while the notes are written

export class PhraseView {
  #marks = [];
  #notes = [];
  #drawn = "";
  writer = null;

  /**
   * act: called with the name of a button, "up", "down", "remove", "play", "write". send: called with fields, a step
   * and a rest, see FormState. heard: called with pitches. choices: of the tuning.
   */
  constructor({ act, send, heard, choices }) {
    Object.assign(this, { act, send, heard });
    const isLost = (name, value) => name === "name" && value === null; // a phrase keeps its name until it has another
    const field = (name) => {
      const kind = name === "tuning" ? "choice" : name === "words" ? "long" : "text";
      const sent = (value, step, rest) => isLost(name, value) || send({ [name]: value }, step, rest);
      return new TextField({ label: say(`lesson.phrases.${name}`), send: sent, kind, choices: name === "tuning" ? choices : [], className: name });
    };
    this.fields = Object.fromEntries(FIELDS.map((name) => [name, field(name)]));
    const acts = ["play", "write", "up", "down", "remove"];
    this.buttons = Object.fromEntries(acts.map((name) => [name, this.#button(name)]));
    this.tab = html("div", { class: "tab", role: "group" });
    this.words = html("p", { class: "phrase-notes" });
    this.moved = html("p", { class: "hint", hidden: true });
    this.apart = html("div", { class: "fields", hidden: true }, ...KEPT_APART.map((name) => this.fields[name].element));
    this.desk = html("div", { hidden: true });
    const fields = html("div", { class: "fields" }, this.fields.name.element, this.fields.words.element);
    const buttons = html("div", { class: "buttons" }, ...Object.values(this.buttons));
    this.element = html("li", { class: "phrase" }, fields, this.tab, this.words, this.moved, buttons, this.apart, this.desk);
    this.fields.name.input.addEventListener("blur", () => this.fields.name.show(textOf(this.phrase.name)));
    this.tab.addEventListener("click", (event) => this.#choose(event.target));
  }

  #button(name) {
    const button = html("button", { type: "button", "data-act": name }, say(`lesson.phrases.${name}`));
    button.addEventListener("click", () => button.getAttribute("aria-disabled") !== "true" && this.act(name));
    return button;
  }

  /**
   * Shows a phrase of the form file. found: what the server has read of it, or null. number: from 1, of count.
   * sound, names: of the lesson, from the server. neck: on which it is written. troubles: the mistakes in its notes;
   * named: those that name it.
   */
  show(phrase, found, { number, count, sound, names, neck, troubles, named }) {
    const name = phrase.name || say("lesson.phrases.usual_name", { number });
    this.element.setAttribute("aria-label", say("lesson.phrases.phrase", { number }));
    const usual = { name, over: found?.chord ?? "", tuning: neck.title };
    for (const [field, each] of Object.entries(this.fields)) each.show(textOf(phrase[field]), usual[field] ?? "");
    for (const [act, button] of Object.entries(this.buttons)) button.setAttribute("aria-label", `${button.textContent}: ${name}`);
    this.buttons.up.hidden = this.buttons.down.hidden = count === 1;
    this.buttons.up.setAttribute("aria-disabled", String(number === 1));
    this.buttons.down.setAttribute("aria-disabled", String(number === count));
    this.buttons.play.setAttribute("aria-disabled", String(!found?.notes.length || !sound));
    Object.assign(this, { phrase, found, about: { names, neck: found?.neck ?? neck, troubles } });
    this.#draw(found, sound, name);
    this.fields.name.showMistakes([...named, ...(this.writer ? [] : troubles)]);
    this.#showWriter();
  }

  #showWriter() {
    if (!this.writer) return;
    const { found, about, phrase } = this;
    this.writer.show(textOf(phrase.notes), { found, ...about });
  }

  /** Marks the note that is chosen to be changed. */
  #markChosen() {
    const chosen = this.writer?.chosenAt ?? null;
    for (const { at, mark } of this.#marks) mark.classList.toggle("chosen", at === chosen);
  }

  #draw(found, sound, name) {
    const drawn = JSON.stringify([found, sound?.barTicks, name, Boolean(this.phrase.notes)]);
    if (drawn === this.#drawn) return;
    this.#drawn = drawn;
    this.#notes = found?.notes ?? [];
    this.#marks = [];
    const isTab = this.#notes.length > 0 && this.#notes.every(({ string }) => string);
    this.tab.hidden = !isTab;
    this.moved.hidden = !found?.key;
    this.moved.textContent = found?.key ? say("lesson.phrases.in_key", { key: found.key[0], form: found.key[1] }) : "";
    this.words.hidden = isTab;
    if (!this.#notes.length) return this.words.replaceChildren(say(`lesson.phrases.${textOf(this.phrase.notes) ? "undrawn" : "empty"}`));
    const { chord, bars: count, neck } = found;
    const bars = barsOf(this.#notes, count);
    this.tab.setAttribute("aria-label", say("lesson.phrases.drawn", { name, chord }));
    const names = this.#notes.map((note) => note.name);
    if (!isTab) return this.words.replaceChildren(...lineInWords(this.#notes, names, bars, sound.barTicks));
    const shape = { bars, barTicks: sound.barTicks, chord, strings: neck.strings.length, marks: this.#marks };
    return this.tab.replaceChildren(...lineTab(this.#notes, shape));
  }

  /** Opens or closes the place where the notes are written. */
  write(isOpen) {
    if (isOpen && !this.writer) {
      const send = (notes, step, rest) => this.send({ notes }, step, rest);
      this.writer = new NoteWriter({ send, heard: this.heard, chosen: () => this.#markChosen() });
      this.desk.replaceChildren(this.writer.element);
    }
    if (!isOpen && this.writer) {
      this.writer = null;
      this.desk.replaceChildren();
    }
    this.desk.hidden = this.apart.hidden = !isOpen;
    this.buttons.write.textContent = say(`lesson.phrases.${isOpen ? "close" : "write"}`);
    this.buttons.write.setAttribute("aria-expanded", String(isOpen));
    this.#showWriter();
    this.#markChosen();
  }

  /** The notes as they are played. */
  played(beatTicks) {
    return playedLine(this.#notes, beatTicks);
  }

  /** Lights the notes that sound. */
  light(sounding) {
    const now = new Set(sounding.map(({ at }) => at));
    for (const { at, mark } of this.#marks) mark.classList.toggle("lit", now.has(at));
  }

  #choose(target) {
    const found = this.#marks.find(({ mark }) => mark.contains(target));
    if (found && this.writer) this.writer.choose(found.at);
  }
}

/** A field of a form file as text; one of several lines ends with a line break there. */
function textOf(value) {
  return String(value ?? "").trim();
}
