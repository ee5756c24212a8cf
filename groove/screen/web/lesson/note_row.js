// The notes of a phrase in their order, a button each: the one that is chosen is changed by keys and by the acts below.

import { bendMark } from "../../practice/screen/tab.js";
import { html } from "../../practice/screen/svg.js";
import { spoken } from "../../practice/music/names.js";
import { say, sayMany, wordFor } from "../../practice/music/words.js";
import { kindOf, lengthOf, LINE, NOTE, partsOf } from "./notes_model.js";

const JOINS = { h: "hammer", p: "pull", s: "slide" };
const SIGNS = { h: () => `${say("tab.letters.hammer")}⌒`, p: () => `${say("tab.letters.pull")}⌒`, s: () => "╱" };
const BENDS = { "1/4": 0.5, "1/2": 1, 1: 2 }; // semitones

export class NoteRow {
  #buttons = [];

  /** model: the NotesModel. acts: by a key, what it does. chosen: called after another note is chosen. */
  constructor(model, { acts, chosen }) {
    Object.assign(this, { model, acts, chosen });
    this.element = html("div", { class: "note-row", role: "group", "aria-label": say("lesson.notes.row") });
    this.element.addEventListener("keydown", (event) => this.#key(event));
  }

  /** Shows the words of the model. notesAt: gives the notes of a word, none of one that can't be read. */
  show(notesAt) {
    const { words } = this.model;
    while (this.#buttons.length < words.length + 1) this.#add();
    for (const button of this.#buttons.splice(words.length + 1)) {
      const hadFocus = button === document.activeElement;
      button.remove();
      if (hadFocus) this.#buttons.at(-1).focus();
    }
    this.#buttons.forEach((button, n) => this.#show(button, n - 1, notesAt));
  }

  #add() {
    const button = html("button", { type: "button", class: "note-word" });
    button.addEventListener("click", () => this.#choose(this.#buttons.indexOf(button) - 1));
    this.#buttons.push(button);
    this.element.append(button);
  }

  #show(button, at, notesAt) {
    const { model } = this;
    const isChosen = at === model.at;
    button.setAttribute("aria-pressed", String(isChosen));
    button.tabIndex = isChosen ? 0 : -1;
    const word = model.words[at];
    const found = word && kindOf(word) === NOTE ? notesAt(at) : [];
    const [label, ...seen] = word ? this.#words(word, at, found) : [say("lesson.notes.start_said"), say("lesson.notes.start")];
    button.setAttribute("aria-label", label);
    button.replaceChildren(...seen);
    button.classList.toggle("bar-line", Boolean(word) && kindOf(word) === LINE);
  }

  /** A word as it is said, then as it is seen: its sound, and under it its length. */
  #words(word, at, notes) {
    const { words } = this.model;
    const kind = kindOf(word);
    const length = inBeats(lengthOf(word));
    const told = (sound) => say("lesson.notes.note", { number: at + 1, count: words.length, sound, length });
    const under = html("small", {}, lengthOf(word));
    if (kind === LINE) return [`${at + 1}: ${say("lesson.notes.line")}`, "|"];
    if (kind !== NOTE) return [told(say(`lesson.notes.${kind}`)), html("span", {}, kind === "tie" ? "~" : say("lesson.notes.rest")), under];
    if (!notes.length) return [told(`${word}, ${say("lesson.notes.unknown")}`), html("span", {}, word)];
    const { join, bend, released } = partsOf(word);
    const bent = BENDS[bend] ? bendMark(BENDS[bend]) + (released ? "↓" : "") : "";
    const sign = html("span", { class: "join" }, SIGNS[join]?.() ?? "");
    const seen = html("span", {}, sign, notes.map(({ name }) => name).join("+") + bent);
    return [told(saidSound(notes, { join, bend, released })), seen, under];
  }

  #key(event) {
    const { model } = this;
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const moves = { ArrowLeft: model.at - 1, ArrowRight: model.at + 1, Home: -1, End: model.words.length - 1 };
    if (event.key in moves) this.#choose(moves[event.key], true);
    else if (event.key in this.acts) this.acts[event.key]();
    else if (event.key.toLowerCase() in this.acts) this.acts[event.key.toLowerCase()]();
    else return;
    event.preventDefault();
  }

  #choose(at, withFocus = false) {
    this.model.choose(at);
    this.chosen();
    if (withFocus) this.focus();
  }

  /** Gives the focus to the chosen note. */
  focus() {
    this.#buttons[this.model.at + 1]?.focus();
  }
}

/** The sound of a word in words: its notes with their places, and how they are played. */
function saidSound(notes, { join, bend, released }) {
  const places = notes.map(({ name, string, fret }) => {
    const note = spoken(name);
    return string ? say(`lesson.notes.${fret ? "place" : "open"}`, { note, string, fret }) : note;
  });
  let sound = places.join(say("lesson.notes.together"));
  if (join) sound = say(`lesson.notes.${JOINS[join]}`, { sound });
  if (bend) sound = say(`lesson.notes.${released ? "release" : "bend"}`, { sound, bend: wordFor("lesson.notes.bends", bend) });
  return sound;
}

/** A length in beats in words. */
export function inBeats(length) {
  const isWhole = /^\d+$/.test(length);
  return isWhole ? sayMany("lesson.notes.whole_beats", Number(length)) : say("lesson.notes.beats", { length });
}
