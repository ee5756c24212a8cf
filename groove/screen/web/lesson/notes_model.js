// The notes of a phrase as words of its notation, and the one that is chosen: what the page changes in them.

/** The lengths that are offered, in beats, the longest first. */
export const LENGTHS = ["4", "3", "2", "3/2", "1", "2/3", "1/2", "1/3", "1/4"];
export const LINE = "line";
export const NOTE = "note";
const KINDS = { "|": LINE, "-": "rest", "~": "tie" };
const FIRST = /^([hps](?=[\dA-G]))?([^^]*)(?:\^([^v]*)(v?))?$/;
const PLACE = /^(\d+)f(\d+)$/;
const HIGHEST = 24; // frets

/** What a word is: "note", "rest", "tie" or "line". */
export function kindOf(word) {
  return KINDS[word.split(":")[0]] ?? NOTE;
}

/** The length of a word in beats, as it is written. */
export function lengthOf(word) {
  return word.split(":")[1] ?? "1";
}

/** What a word of a note says: how it is joined, its sounds, its bend and whether that comes back. */
export function partsOf(word) {
  const [first, ...others] = word.split(":")[0].split("+");
  const [, join = "", sound = first, bend = "", released = ""] = FIRST.exec(first) ?? [];
  return { join, sounds: [sound, ...others], bend, released };
}

/** String and fret of a sound; null for a note by its name. */
export function placeOf(sound) {
  const found = PLACE.exec(sound);
  return found && { string: Number(found[1]), fret: Number(found[2]) };
}

function wordOf({ join, sounds: [first, ...others], bend, released }, length) {
  return timed([join + first + (bend ? `^${bend}${released}` : ""), ...others].join("+"), length);
}

function timed(sound, length) {
  return length === "1" ? sound : `${sound}:${length}`;
}

export class NotesModel {
  words = [];
  at = -1; // the word that is chosen; -1: before the first
  length = "1"; // of the next note

  /** Takes the notes of a phrase; the choice stays where it is. */
  take(text) {
    if (text === this.text) return;
    this.words = text.split(/[\s,]+/).filter(Boolean);
    this.at = Math.min(this.at, this.words.length - 1);
  }

  get text() {
    return this.words.join(" ");
  }

  get current() {
    return this.words[this.at] ?? null;
  }

  /** What the chosen word says if it is a note, else null. */
  get note() {
    return this.current && kindOf(this.current) === NOTE ? partsOf(this.current) : null;
  }

  /** Chooses a word; a note's length is that of the next one too. */
  choose(at) {
    this.at = Math.max(-1, Math.min(this.words.length - 1, at));
    if (this.current && kindOf(this.current) !== LINE) this.length = lengthOf(this.current);
  }

  /** The number of the stroke that a word is, or was written last before it; -1 for none. */
  strokeOf(at) {
    return this.words.slice(0, at + 1).filter((word) => kindOf(word) === NOTE).length - 1;
  }

  /** Writes the note at a place of the neck. press: "next" after the chosen one, "together" with it, or "instead" of it. */
  put(string, fret, press) {
    const { note } = this;
    const sound = `${string}f${fret}`;
    if (press === "next" || !note) this.#insert(timed(sound, this.length));
    else if (press === "instead") this.#set({ ...note, sounds: [sound] });
    else {
      const others = note.sounds.filter((each) => placeOf(each)?.string !== string);
      const isThere = note.sounds.includes(sound);
      if (!isThere || others.length) this.#set({ ...note, sounds: isThere ? others : [...others, sound] });
    }
  }

  rest() {
    this.#insert(timed("-", this.length));
  }

  hold() {
    this.#insert(timed("~", this.length));
  }

  line() {
    this.#insert("|");
  }

  /** Joins the chosen note to the one before it by "h", "p" or "s", or no longer. */
  join(letter) {
    const { note } = this;
    if (note) this.#set({ ...note, join: note.join === letter ? "" : letter });
  }

  /** Bends the chosen note by "1/4", "1/2" or "1" of a whole step, "" for none. */
  bend(bend) {
    const { note } = this;
    if (note) this.#set({ ...note, bend, released: bend ? note.released : "" });
  }

  release() {
    const { note } = this;
    if (note?.bend) this.#set({ ...note, released: note.released ? "" : "v" });
  }

  setLength(length) {
    this.length = length;
    if (this.current && kindOf(this.current) !== LINE) this.words[this.at] = timed(this.current.split(":")[0], length);
  }

  /** Makes the chosen note as long as the next length that is offered, upwards or downwards. */
  stretch(way) {
    const place = LENGTHS.indexOf(this.length);
    this.setLength(LENGTHS[Math.max(0, Math.min(LENGTHS.length - 1, place - way))] ?? "1");
  }

  /** Moves the chosen note so many frets along its strings. */
  shift(frets) {
    const { note } = this;
    const places = note?.sounds.map(placeOf) ?? [];
    const isThere = places.every((place) => place && place.fret + frets >= 0 && place.fret + frets <= HIGHEST);
    if (places.length && isThere) this.#set({ ...note, sounds: places.map(({ string, fret }) => `${string}f${fret + frets}`) });
  }

  remove() {
    if (!this.current) return;
    this.words.splice(this.at, 1);
    this.choose(this.words.length ? Math.max(0, this.at - 1) : -1);
  }

  #insert(word) {
    this.words.splice(this.at + 1, 0, word);
    this.at += 1;
  }

  #set(parts) {
    this.words[this.at] = wordOf(parts, lengthOf(this.current));
  }
}
