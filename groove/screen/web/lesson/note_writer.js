// The editor of a phrase's notes: the neck, the notes in their order, what changes them, and the notation as text.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";
import { TextField } from "../fields/text_field.js";
import { newStep } from "../state.js";
import { NeckBoard } from "./neck_board.js";
import { NoteActs } from "./note_acts.js";
import { NoteRow } from "./note_row.js";
import { kindOf, NOTE, NotesModel, partsOf, placeOf } from "./notes_model.js";

export class NoteWriter {
  #strokes = [];

  /**
   * send: called with (notes, step, rest) for each change, rest: null to send it at once. heard: called with the
   * pitches of a note that was written. chosen: called when another note may be chosen.
   */
  constructor({ send, heard, chosen }) {
    Object.assign(this, { send, heard, chosen });
    this.model = new NotesModel();
    this.board = new NeckBoard((string, fret) => this.#press(string, fret));
    this.acts = new NoteActs(this.model, () => this.#changed());
    this.row = new NoteRow(this.model, { acts: this.acts.keys, chosen: () => this.#chosen() });
    this.text = new TextField({ label: say("lesson.notes.text"), send: (value, step, rest) => this.#typed(value ?? "", step, rest), kind: "long", className: "as-text" });
    const hint = html("p", { class: "hint" }, say("lesson.notes.text_hint"));
    const help = html("p", { class: "hint" }, say("lesson.notes.help"));
    this.element = html("div", { class: "note-writer" }, help, this.board.element, this.acts.presser, this.row.element, this.acts.element, this.text.element, hint);
  }

  /**
   * Shows the notes of a phrase. found: what the server has read of it, null for nothing. neck: its own; names: of
   * each pitch class; troubles: what is wrong with it.
   */
  show(notes, { found, neck, names, troubles }) {
    const isOwn = this.model.words.length > 0 || this.model.at >= 0;
    this.model.take(notes);
    if (!isOwn && this.model.words.length) this.model.choose(this.model.words.length - 1);
    this.#strokes = strokesOf(found?.notes ?? []);
    Object.assign(this, { neck, names });
    this.text.show(notes);
    this.text.showMistakes(troubles);
    this.#draw();
    if (!isOwn) this.#revealPhrase();
  }

  #revealPhrase() {
    const frets = this.#strokes.flat().map(({ fret }) => fret).filter(Boolean);
    if (frets.length) this.board.reveal(Math.min(...frets));
  }

  /** The notes of the chosen word. */
  get chosenNotes() {
    return this.model.note ? this.#notesAt(this.model.at) : [];
  }

  /** The notes of a word: those on the neck at once, others as the server has read them. */
  #notesAt(at) {
    const { strings, frets } = this.neck;
    const places = partsOf(this.model.words[at]).sounds.map(placeOf);
    const isOnNeck = places.every((place) => place && place.string >= 1 && place.string <= strings.length && place.fret <= frets);
    if (!isOnNeck) return places.every(Boolean) ? [] : this.#strokes[this.model.strokeOf(at)] ?? [];
    return places.map(({ string, fret }) => {
      const pitch = strings.at(-string) + fret;
      return { string, fret, pitch, name: this.names[pitch % 12] };
    });
  }

  /** The tick at which the chosen note begins; null for none. */
  get chosenAt() {
    return (this.model.note && this.#strokes[this.model.strokeOf(this.model.at)]?.[0].at) ?? null;
  }

  /** Chooses the note that begins at a tick. */
  choose(at) {
    const stroke = this.#strokes.findIndex(([note]) => note.at === at);
    const { words } = this.model;
    const place = words.findIndex((word, n) => kindOf(word) === NOTE && this.model.strokeOf(n) === stroke);
    if (place < 0) return;
    this.model.choose(place);
    this.#chosen();
  }

  #draw() {
    this.row.show((at) => this.#notesAt(at));
    this.acts.show();
    const places = this.model.note ? this.chosenNotes.filter(({ string }) => string) : [];
    const others = this.model.words.flatMap((word, at) => (kindOf(word) === NOTE ? this.#notesAt(at) : [])).filter(({ string }) => string);
    this.board.show(this.neck, this.names, { places, others });
    this.chosen();
  }

  #chosen() {
    this.#draw();
    const [note] = this.chosenNotes;
    if (note?.string) this.board.reveal(note.fret);
    if (note) this.heard(this.chosenNotes.map(({ pitch }) => pitch));
  }

  #press(string, fret) {
    const press = this.acts.press;
    this.model.put(string, fret, press);
    this.acts.press = "next";
    const pitch = this.neck.strings.at(-string) + fret;
    const others = press === "together" ? this.chosenNotes.map((note) => note.pitch) : [];
    this.heard([...new Set([...others, pitch])]);
    this.#changed();
  }

  /** Sends the notes as they are now, and shows them before the answer comes. */
  #changed() {
    this.text.show(this.model.text);
    this.#draw();
    this.send(this.model.text, newStep(), null);
  }

  #typed(text, step, rest) {
    this.model.take(text);
    this.model.choose(this.model.words.length - 1);
    this.send(text, step, rest);
  }
}

/** Notes in lists of those that begin together. */
function strokesOf(notes) {
  const found = new Map();
  for (const note of notes) found.set(note.at, [...(found.get(note.at) ?? []), note]);
  return [...found.values()];
}
