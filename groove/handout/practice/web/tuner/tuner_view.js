// The tuner's panel: what is heard in words and as a note on five lines, buttons for strings and for notes.

import { TunerDrawing } from "./tuner_drawing.js";
import { say } from "../music/words.js";
import { html } from "../screen/svg.js";

const WRITTEN_MS = 250; // from one change of the words to the next
const SAID_MS = 3000; // the same of a screen reader's
const SAID_CENTS = 5; // a change that is worth a sentence
const SETTLED_MS = 500; // which has to last so long

const $ = (id) => document.getElementById(id);

export class TunerView {
  /** tuned: a Tuned. inTune: cents. acts: what the controls do, {listen, choose, fix, sound, close}; close: when the panel is out of sight. */
  constructor(tuned, inTune, acts) {
    Object.assign(this, { tuned, acts });
    this.drawing = new TunerDrawing($("tuner-drawing"), inTune);
    $("tuner-what").append(...tuned.choices.map(([value, words]) => html("option", { value }, words)));
    $("tuner-what").addEventListener("change", () => acts.choose($("tuner-what").value));
    $("tuner-listen").addEventListener("click", acts.listen);
    new ResizeObserver(() => $("tuner-listen").offsetParent || acts.close()).observe($("tuner-listen"));
    this.forget();
  }

  /** Whether the student wears headphones. */
  get headphones() {
    return $("tuner-headphones").checked;
  }

  /** Makes the buttons for strings to listen for, and those for notes to hear. */
  writeButtons() {
    const { toHear, tuning } = this.tuned;
    $("tuner-one").hidden = !tuning;
    const every = button(say("tuner.every"), null, () => this.acts.fix(null), { string: "" });
    const one = ({ string, words, ...named }) => button(named.note, named.number, () => this.acts.fix(string), { string }, words);
    $("tuner-strings").replaceChildren(...(tuning ? [every, ...toHear.map(one)] : []));
    const sounding = ({ pitch, words, note, number }) =>
      button(note, number, () => this.acts.sound(pitch), { pitch }, say("tuner.hear_said", { note: words }));
    $("tuner-notes").replaceChildren(...toHear.map(sounding));
    write("tuner-notes-title", say(tuning ? "tuner.hear_string" : "tuner.hear_note"));
  }

  /** Shows whether the tuner listens, which string alone is meant and which pitch sounds; null for none. */
  showStates({ listens, fixed, pitch }) {
    $("tuner-what").value = this.tuned.what;
    write("tuner-listen", say(listens ? "tuner.stop" : "tuner.listen"));
    $("tuner-reading").classList.toggle("listens", listens);
    const isFixed = ({ string }) => (string === "" ? fixed === null : Number(string) === fixed);
    for (const one of $("tuner-strings").children) one.setAttribute("aria-pressed", String(isFixed(one.dataset)));
    for (const one of $("tuner-notes").children) one.setAttribute("aria-pressed", String(Number(one.dataset.pitch) === pitch));
  }

  /** Tells what is wrong with the microphone, by what is tuned, and for which reader; null for none. */
  tellAbout(trouble, a4, inTune, reader) {
    $("tuner-trouble").hidden = !trouble;
    write("tuner-trouble", trouble ?? "");
    const written = reader === null ? "" : `${say("tuner.written", { reader })} `;
    write("tuner-about", written + say("tuner.about", { hertz: inWords(a4), cents: inTune }));
  }

  /** Shows a reading; returns its state in a few words, or null if it was written just now. */
  show(reading) {
    const now = performance.now();
    const { note, number, words, whole, isInTune, isFar, isOther, isOctave, string, hertz, wanted } = reading;
    const name = [note, number, isOther, isOctave].join(" ");
    const isNew = name !== this.name || isInTune !== this.isInTune;
    const isWritten = isNew || now - this.writtenAt >= WRITTEN_MS;
    this.drawing.show(isOther ? null : whole, isInTune, isWritten);
    if (!isWritten) return null;
    Object.assign(this, { name, isInTune, writtenAt: now });
    if (isOther) return this.#showOther(reading);
    const off = offInWords(whole, isInTune, isFar);
    $("tuner-reading").classList.remove("silent");
    write("tuner-name", note);
    write("tuner-number", number === null ? "" : say("tuner.number", { number }));
    write("tuner-words", isInTune ? off : withAdvice(off, whole, string !== undefined));
    write("tuner-hertz", say(isOctave ? "tuner.octave" : "tuner.hertz", { hertz: inWords(hertz, 1) }));
    write("tuner-wanted", say("tuner.wanted", { hertz: inWords(wanted, 1) }));
    this.#sayToReader(words, whole, isInTune, say("tuner.said", { note: words, off }));
    return say("tuner.state", { note: words, off });
  }

  /** Shows that another string is heard than the one that is meant; returns it in a few words. */
  #showOther({ note, number, words, whole, hertz, wanted }) {
    const figures = { note, number, hertz: inWords(hertz, 1), wanted: inWords(wanted, 1) };
    const sentence = say(`tuner.${wayOf(whole)}.other`, figures);
    this.#writeAlone(sentence);
    this.#sayToReader(`${words} ${wayOf(whole)}`, whole, false, sentence);
    return say("tuner.other", { note });
  }

  /** Says a reading to a screen reader, seldom: for another string, or where it has changed much. */
  #sayToReader(words, cents, isInTune, sentence) {
    const { said } = this;
    const now = performance.now();
    const isNews = said?.words !== words || said.isInTune !== isInTune || Math.abs(said.cents - cents) >= SAID_CENTS;
    this.newsAt = isNews ? this.newsAt ?? now : null;
    if (!isNews || now - this.newsAt < SETTLED_MS || now - said?.at < SAID_MS) return;
    this.said = { words, cents, isInTune, at: now };
    this.announce(sentence);
  }

  announce(words) {
    write("tuner-said", words);
  }

  /** The next reading is news. */
  forget() {
    Object.assign(this, { name: null, isInTune: null, writtenAt: -Infinity, said: null, newsAt: null });
  }

  /** Shows a sentence in place of a reading; isNews: a screen reader says it too. */
  showNothing(sentence, isNews = false) {
    this.#writeAlone(say(sentence));
    if (isNews) this.announce(say(sentence));
    this.drawing.show(null);
    this.name = null;
  }

  /** Writes a sentence, and nothing of a reading beside it. */
  #writeAlone(sentence) {
    $("tuner-reading").classList.add("silent");
    for (const part of ["name", "number", "hertz", "wanted"]) write(`tuner-${part}`, "");
    write("tuner-words", sentence);
  }
}

/** A button with a note and the number of its string; said: in place of both. */
function button(note, number, act, data, said = null) {
  const found = html("button", { type: "button", "aria-label": said }, html("span", {}, note), number === null ? "" : html("small", {}, String(number)));
  Object.assign(found.dataset, data);
  found.addEventListener("click", act);
  return found;
}

/** Writes words into an element, unless they stand there already. */
function write(id, words) {
  if ($(id).textContent !== words) $(id).textContent = words;
}

/** How far a note is off. */
function offInWords(cents, isInTune, isFar) {
  if (isInTune) return say("tuner.in_tune");
  const size = Math.abs(cents);
  return say(`tuner.${wayOf(cents)}.${isFar ? "far" : size === 1 ? "one" : "many"}`, { number: size });
}

/** The same with what to do about it. */
function withAdvice(off, cents, isString) {
  return say(`tuner.${wayOf(cents)}.${isString ? "string" : "note"}`, { off });
}

function wayOf(cents) {
  return cents > 0 ? "sharp" : "flat";
}

/** A number as the page's language writes it, with so many decimals, or as many as it has. */
function inWords(number, decimals = undefined) {
  const digits = { minimumFractionDigits: decimals, maximumFractionDigits: decimals ?? 2, useGrouping: false };
  return number.toLocaleString(document.documentElement.lang, digits);
}
