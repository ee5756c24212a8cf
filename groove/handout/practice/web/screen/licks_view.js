// The licks of the lesson sheet in the key that sounds: as tablature where their neck is drawn, else as names.

import { lineNotes } from "../music/lines.js";
import { noteName } from "../music/names.js";
import { settingOf } from "../music/road.js";
import { numbersIn } from "../music/streams.js";
import { chordIn, tonicIn } from "../music/track.js";
import { say, wordFor } from "../music/words.js";
import { barsOf, lineInWords, lineTab } from "./line_view.js";
import { html } from "./svg.js";

const BARS = 2;
const $ = (id) => document.getElementById(id);

export class LicksView {
  constructor(settings, place) {
    Object.assign(this, { settings, place, marks: [] });
  }

  /** The notes of a lick in the key that is shown. */
  notes(number) {
    const { times, tabs, placed, tuning } = this.settings.track.hear.licks;
    const [, , , time, low, tab] = placed[this.key][number];
    return lineNotes(times[time], tabs[tab], low, this.settings.tunings[tuning].strings);
  }

  /** Shows the licks in a key. */
  show(key) {
    this.key = key;
    const { settings } = this;
    const { track } = settings;
    const { licks } = track.hear;
    const { instrument, words: tuning } = settings.tunings[licks.tuning];
    const home = Math.max(0, track.chords.findIndex(([, , root]) => root === 0));
    const chord = chordIn(track, home, key, settings.written).name;
    $("hear-licks-title").textContent = say("hear.licks", { chord });
    const isTab = settings.onNeck && settings.tuning === licks.tuning;
    $("hear-licks-hint").textContent = say("hear.licks_tab", { instrument: wordFor("instruments", instrument), tuning });
    $("hear-licks-hint").hidden = isTab;
    this.marks = [];
    this.place.replaceChildren(...licks.placed[key].map((_, number) => this.#lick(number, chord, isTab)));
  }

  #lick(number, chord, isTab) {
    const { settings, key } = this;
    const { track } = settings;
    const { names, placed, tuning } = track.hear.licks;
    const [position, fret, technique] = placed[key][number];
    const { barTicks } = settingOf(track, 0);
    const notes = this.notes(number);
    const bars = barsOf(notes, BARS);
    const title = say(`hear.lick.${isTab ? technique : "plain"}`, { number: isTab ? position : number + 1, fret });
    const marks = [];
    const strings = settings.tunings[tuning].strings.length;
    const tonic = tonicIn(track, key, settings.written);
    const named = [...numbersIn(names[placed[key][number][6]])].map((fifths) => noteName(tonic + fifths));
    const written = isTab
      ? html("div", { class: "tab", role: "group", "aria-label": title }, ...lineTab(notes, { bars, barTicks, chord, strings, marks }))
      : html("p", { class: "lick-notes" }, ...lineInWords(notes, named, bars, barTicks));
    this.marks.push(marks);
    const sign = html("span", { class: "sound-sign", "aria-hidden": "true" });
    const button = html("button", { type: "button", "data-hear": "lick", "data-lick": number, "data-words": title, "aria-pressed": "false", "aria-label": say("hear.play_it", { what: title }) }, sign, say("hear.play"));
    return html("div", { class: "lick" }, html("div", { class: "lick-head" }, html("h4", {}, title), button), written);
  }

  /** Lights the notes of a lick that sound. */
  light(sounding) {
    const lick = sounding.find((note) => note.lick !== undefined)?.lick;
    const now = new Set(sounding.map(({ at }) => at));
    this.marks.forEach((marks, number) => {
      for (const { at, mark } of marks) mark.classList.toggle("lit", number === lick && now.has(at));
    });
  }
}
