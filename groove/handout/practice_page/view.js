// What the screen shows of the music: bar, beat, chord now and next; words for a screen reader.

import { card } from "./cards.js";
import { ChartView } from "./chart_view.js";
import { noteName, spoken, withSigns } from "./names.js";
import { KEY_STEPS, WRITTEN } from "./settings.js";
import { writeSheet } from "./sheet.js";
import { barTicks, chordAt, chordIn, writtenTonic } from "./track.js";

const SAID_EVERY_MS = 1500; // at most, so that speech keeps up

const $ = (id) => document.getElementById(id);

export class View {
  constructor(settings, chosen) {
    this.settings = settings;
    this.track = settings.track;
    this.chart = new ChartView(this.track, $("chart"), chosen);
    this.saidAt = 0;
    const { track } = this;
    $("facts").textContent =
      `${track.bars} bars of ${track.meter.join("/")}, ${track.feel}, ${track.drums.replaceAll("-", " ")} drums. ` +
      `${track.choruses} different times round, then from the top again, in any key and at any tempo.`;
  }

  get raised() {
    return WRITTEN[this.settings.written];
  }

  /** Everything that depends on the settings, with the key that sounds. */
  refresh(place = null) {
    this.shownKey = place?.key ?? this.settings.key;
    this.chart.write(this.shownKey, this.raised);
    this.chart.showStretch(this.settings.from, this.settings.to);
    const home = writtenTonic(this.track, this.shownKey, this.raised);
    const written = this.settings.written === "C" ? "" : ` for ${withSigns(this.settings.written)} instruments`;
    $("key-name").textContent = `${noteName(home)}${this.track.minor ? " minor" : ""}${written}`;
    const { name, notes } = this.track.throughout;
    const tones = notes.map((fifths) => noteName(home + fifths)).join(" ");
    $("throughout").textContent = `All the way through: ${noteName(home)} ${name}, ${tones}`;
    this.shownCards = "";
    this.follow(place);
  }

  /** What would be printed now. */
  writeSheet() {
    writeSheet($("sheet"), this.track, this.settings, this.raised, $("throughout").textContent);
  }

  /** Shows where the music is; null while nothing plays. */
  follow(place) {
    const { track, settings } = this;
    if (place && place.key !== this.shownKey) return this.refresh(place);
    const size = barTicks(track);
    const playing = place?.stage === "playing";
    const inChorus = playing ? place.tick % (size * track.bars) : (settings.from - 1) * size;
    const bar = Math.floor(inChorus / size) + 1;
    const beat = place ? Math.floor((place.tick % size) / track.beatTicks) : -1;
    this.#showBeat(place, bar, beat);
    this.chart.showBar(playing ? bar : 0);
    this.#showCards(chordAt(track, inChorus), bar, playing);
    return undefined;
  }

  #showBeat(place, bar, beat) {
    const words = {
      counting: "Count-in",
      playing: `Bar ${bar}, round ${(place?.round ?? 0) + 1}`,
      landing: "The end",
    };
    const word = words[place?.stage] ?? `Bars ${this.settings.from} to ${this.settings.to}`;
    if ($("bar-number").textContent !== word) $("bar-number").textContent = word;
    [...$("beats").children].forEach((dot, n) => dot.classList.toggle("on", n === beat));
  }

  #showCards(number, bar, playing) {
    const shown = `${this.shownKey} ${number}`;
    if (shown === this.shownCards) return;
    this.shownCards = shown;
    const now = chordIn(this.track, number, this.shownKey, this.raised);
    const next = this.#nextChord(number);
    $("cards").replaceChildren(card(this.settings, now, "Now"), card(this.settings, next, "Next"));
    if (playing) this.#say(`Bar ${bar}: ${spoken(now.name)}. Next ${spoken(next.name)}.`);
  }

  /** The chord that comes after one: at the end of the stretch the first one of the next round. */
  #nextChord(number) {
    const { track, settings } = this;
    const size = barTicks(track);
    const [start, length] = track.chords[number];
    if (start + length < settings.to * size) return chordIn(track, number + 1, this.shownKey, this.raised);
    const first = chordAt(track, (settings.from - 1) * size);
    return chordIn(track, first, (this.shownKey + KEY_STEPS[settings.nextKey]) % 12, this.raised);
  }

  #say(words) {
    const now = performance.now();
    if (now - this.saidAt < SAID_EVERY_MS) return;
    this.saidAt = now;
    $("said").textContent = words;
  }
}
