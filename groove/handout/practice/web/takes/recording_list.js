// The list of takes in the panel: names, facts and buttons of each.

import { html } from "../screen/svg.js";
import { lengthInWords } from "../music/outline.js";
import { say } from "../music/words.js";

const $ = (id) => document.getElementById(id);

export class TakeList {
  /**
   * acts: functions that get a take: play, toPlace (with seconds), wav, opus, film, remove. track: the
   * page's, for the names of keys.
   */
  constructor(track, acts) {
    Object.assign(this, { track, acts, rows: new Map(), hasOpus: false });
  }

  /** Shows that the browser makes Opus files. */
  allowOpus() {
    this.hasOpus = true;
    for (const { opus } of this.rows.values()) opus.hidden = false;
  }

  add(take) {
    const row = this.#row(take);
    this.rows.set(take, row);
    $("takes").append(row.line);
    $("takes").hidden = false;
  }

  remove(take) {
    this.rows.get(take).line.remove();
    this.rows.delete(take);
    $("takes").hidden = !this.rows.size;
  }

  /** Puts the focus on a take. */
  focus(take) {
    this.rows.get(take).play.focus();
  }

  /** Shows that a take plays, at some seconds of it, or that it has stopped: null. */
  showPlace(take, seconds) {
    const { play, place, line } = this.rows.get(take) ?? {};
    if (!line) return;
    const isPlaying = seconds !== null;
    const words = say(isPlaying ? "record.stop_take" : "record.play_take");
    if (play.textContent !== words) play.textContent = words;
    line.classList.toggle("sounding", isPlaying);
    if (document.activeElement !== place || !place.matches(":active")) place.value = seconds ?? 0;
    place.setAttribute("aria-valuetext", say("record.place_value", { at: lengthInWords(seconds ?? 0), length: lengthInWords(take.seconds) }));
  }

  /** Shows whether a take is saved, and whether a file of it is being made. */
  showSaved(take, isBusy = false) {
    const { saved, files } = this.rows.get(take) ?? {};
    if (!saved) return;
    saved.textContent = say(take.isSaved ? "record.saved" : "record.unsaved");
    for (const button of files) button.toggleAttribute("disabled", isBusy);
  }

  #row(take) {
    const { acts } = this;
    const named = say("record.name_of", { number: take.about.number });
    const name = html("input", { type: "text", value: take.about.name, maxlength: 60, "aria-label": named });
    name.addEventListener("change", () => (take.about.name = name.value.trim() || take.about.name));
    const button = (words, act) => {
      const made = html("button", { type: "button", "aria-label": say("record.of_take", { what: say(words), number: take.about.number }) }, say(words));
      made.addEventListener("click", () => act(take));
      return made;
    };
    const play = html("button", { type: "button", class: "play-take" }, say("record.play_take"));
    play.addEventListener("click", () => acts.play(take));
    const place = html("input", { type: "range", min: 0, max: take.seconds, step: 0.1, value: 0, "aria-label": say("record.place") });
    place.addEventListener("change", () => acts.toPlace(take, place.valueAsNumber));
    const [wav, opus] = [button("record.wav", acts.wav), button("record.opus", acts.opus)];
    opus.hidden = !this.hasOpus;
    const film = take.film ? [button("record.video", acts.film)] : [];
    const saved = html("span", { class: "saved" }, say("record.unsaved"));
    const facts = html("p", { class: "hint" }, `${this.#facts(take)} `, saved);
    const remove = button("record.remove", acts.remove);
    const head = html("div", { class: "take-head" }, play, name);
    const line = html("li", { class: "take" }, head, facts, place, html("div", { class: "fields" }, wav, opus, ...film, remove));
    return { line, play, place, saved, opus, files: [wav, opus, ...film] };
  }

  /** Length, key and tempo, as they changed: "1:32, in A at 120." */
  #facts({ seconds, about: { from, to } }) {
    const sign = ({ key }) => this.track.keys[key].sign;
    const way = { key: sign(from), tempo: from.tempo, last_key: sign(to), last_tempo: to.tempo };
    const isSame = from.key === to.key && from.tempo === to.tempo;
    return say("record.facts", { length: lengthInWords(seconds), way: say(isSame ? "file.same" : "file.changes", way) });
  }
}
