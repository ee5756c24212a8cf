// The teacher's phrases: a list, and one more that is in the form file from its first note on.

import { say } from "../../practice/music/words.js";
import { newStep } from "../state.js";
import { PhraseView } from "./phrase_view.js";
import { PluckedStrings } from "./plucked.js";

const $ = (id) => document.getElementById(id);
const USUAL = "guitar";

export class PhrasesView {
  #views = [];
  #begun = null; // a phrase without notes, which is not in the form file yet
  #firstStep = ""; // in which the last new phrase has come into the form file
  #open = -1; // the phrase whose notes are being written
  #playing = -1;
  #strings = new PluckedStrings();

  /** context: of the part. choices: of the lesson, from the server. */
  constructor(context, choices) {
    Object.assign(this, { ...context, lesson: choices, phrases: [], told: { phrases: [] } });
    $("add-phrase").addEventListener("click", () => this.#add());
  }

  /** Shows the phrases of a state. told: the lesson as the server has it. */
  show(now, told) {
    const written = Array.isArray(now.fields.phrases) ? now.fields.phrases : [];
    Object.assign(this, { now, told });
    this.phrases = this.#begun ? [...written, this.#begun] : written;
    while (this.#views.length < this.phrases.length) this.#addView();
    const gone = this.#views.splice(this.phrases.length);
    const hadFocus = gone.some(({ element }) => element.contains(document.activeElement));
    for (const view of gone) view.element.remove();
    if (this.#open >= this.phrases.length) this.#write(-1);
    if (this.#playing >= this.phrases.length) this.#strings.hush();
    this.#views.forEach((view, place) => this.#showOne(view, place));
    this.#showRoom(written.length);
    if (hadFocus) $("add-phrase").focus();
  }

  #showRoom(count) {
    const isFull = count >= this.lesson.mostPhrases;
    $("add-phrase").setAttribute("aria-disabled", String(isFull || this.#begun !== null));
    $("phrases-full").hidden = !isFull;
    $("phrases-full").textContent = say("lesson.phrases.full", { number: count });
    const all = this.now.mistakes.filter((each) => !each.of && each.field === "phrases");
    $("phrases-mistakes").hidden = all.length === 0;
    $("phrases-mistakes").textContent = all.map(({ text }) => text).join(" ");
  }

  #showOne(view, place) {
    const { told, now } = this;
    const phrase = this.phrases[place];
    const troubles = now.mistakes.filter((each) => each.of === "phrases" && each.place === place).map(({ text }) => text);
    const { necks } = this.lesson;
    const neck = necks[phrase.tuning] ?? necks[USUAL];
    const named = this.#named(phrase.name);
    const names = told.phrases[place]?.names ?? told.names;
    const about = { number: place + 1, count: this.phrases.length, sound: told.sound, names, neck, troubles, named };
    view.show(phrase, told.phrases[place] ?? null, about);
  }

  /** The mistakes of all phrases that name one. */
  #named(name) {
    const all = this.now.mistakes.filter((each) => !each.of && each.field === "phrases");
    return name ? all.map(({ text }) => text).filter((text) => text.includes(`'${name}'`)) : [];
  }

  #addView() {
    const view = new PhraseView({
      act: (name) => this.#act(name, this.#views.indexOf(view)),
      send: (fields, step, rest) => this.#send(this.#views.indexOf(view), fields, step, rest),
      heard: (pitches) => this.#hear(pitches),
      choices: this.lesson.tuning,
    });
    this.#views.push(view);
    $("phrases").append(view.element);
  }

  #act(name, place) {
    const acts = { play: () => this.#play(place), write: () => this.#write(this.#open === place ? -1 : place) };
    const moves = { up: () => this.#move(place, place - 1), down: () => this.#move(place, place + 1), remove: () => this.#remove(place) };
    (acts[name] ?? moves[name])();
  }

  /** Begins a phrase; the first note writes it into the form file. */
  #add() {
    if ($("add-phrase").getAttribute("aria-disabled") === "true") return;
    const { plays } = this.now.fields;
    const tuning = this.lesson.stringed.includes(plays) && plays !== USUAL ? { tuning: plays } : {};
    this.#begun = { ...tuning };
    this.show(this.now, this.told);
    this.#write(this.phrases.length - 1);
    this.#views.at(-1).fields.name.input.focus();
  }

  #send(place, fields, step, rest) {
    const phrase = this.phrases[place];
    if (phrase !== this.#begun) {
      const whole = { ...phrase, ...fields };
      this.phrases = this.phrases.with(place, whole);
      return this.#edit(place, step === this.#firstStep ? whole : fields, step, rest);
    }
    Object.assign(this.#begun, fields);
    if (!this.#begun.notes) return undefined;
    const whole = { ...this.#begun, name: this.#begun.name || this.#usualName(place + 1) };
    this.#begun = null;
    this.#firstStep = step;
    this.phrases = this.phrases.with(place, whole);
    return this.#edit(place, whole, step, rest);
  }

  /** The name of a phrase that has none: by its number, or the next one that no other has. */
  #usualName(number) {
    const name = say("lesson.phrases.usual_name", { number });
    return this.phrases.some((each) => each.name === name) ? this.#usualName(number + 1) : name;
  }

  #edit(phrase, fields, step, rest) {
    const asked = { do: "phrase", phrase, fields, step };
    return rest === null ? this.state.edit(asked) : this.state.type(asked, rest);
  }

  #write(place) {
    this.#open = place;
    this.#views.forEach((view, n) => view.write(n === place));
    if (place < 0 && this.#begun && !this.#begun.notes && !this.#begun.name) this.#forget();
  }

  /** Lets go of a phrase that was begun and has nothing. */
  #forget() {
    const last = this.#views.at(-1);
    const hadFocus = last?.element.contains(document.activeElement);
    this.#begun = null;
    this.show(this.now, this.told);
    if (hadFocus) $("add-phrase").focus();
  }

  async #move(place, to) {
    if (this.phrases[place] === this.#begun || this.phrases[to] === this.#begun) return;
    this.#write(-1);
    await this.state.edit({ do: "move-phrase", phrase: place, place: to, step: newStep() });
    const { up, down } = this.#views[to].buttons;
    const [asked, other] = to < place ? [up, down] : [down, up];
    (asked.getAttribute("aria-disabled") === "true" ? other : asked).focus();
    this.announce(say("lesson.phrases.moved", { number: to + 1 }));
  }

  async #remove(place) {
    const { name } = this.phrases[place];
    const shown = name || say("lesson.phrases.usual_name", { number: place + 1 });
    if (this.phrases[place] === this.#begun) this.#forget();
    else {
      this.#write(-1);
      await this.state.edit({ do: "remove-phrase", phrase: place, step: newStep() });
    }
    const next = this.#views[Math.min(place, this.#views.length - 1)];
    (next?.buttons.remove ?? $("add-phrase")).focus();
    this.announce(say("lesson.phrases.removed", { name: shown }));
  }

  #play(place) {
    const isOn = this.#playing === place;
    this.#strings.hush();
    if (isOn) return;
    const { listening } = this.listen;
    if (listening?.playing) this.listen.playOrStop(); // a phrase goes by its own time
    const { sound } = this.told;
    const view = this.#views[place];
    const isHeard = this.#strings.play(view.played(sound.beatTicks), sound, () => this.#ended(view));
    if (!isHeard) return this.announce(say("lesson.phrases.unheard"));
    this.#playing = place;
    view.buttons.play.textContent = say("lesson.phrases.stop");
    this.#follow(view);
  }

  #follow(view) {
    if (this.#views[this.#playing] !== view) return;
    view.light(this.#strings.sounding());
    requestAnimationFrame(() => this.#follow(view));
  }

  #ended(view) {
    this.#playing = -1;
    view.buttons.play.textContent = say("lesson.phrases.play");
    view.light([]);
  }

  /** Sounds a note that was written or chosen. */
  #hear(pitches) {
    const { sound } = this.told;
    if (sound) this.#strings.play([{ at: 0, length: sound.beatTicks, pitches }], sound);
  }

  /** The input of a phrase that a mistake names; that for a new one where it names none. */
  inputNamed() {
    const place = this.phrases.findIndex(({ name }) => this.#named(name).length > 0);
    return this.#views[place]?.fields.name.input ?? $("add-phrase");
  }

  /** The input of the notes of a phrase, for the way to a mistake. */
  inputOf(place) {
    if (!this.#views[place]) return null;
    this.#write(place);
    return this.#views[place].writer.text.input;
  }
}
