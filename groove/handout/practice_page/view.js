// What the screen shows of the music: bar, beat, chord now and next; words for a screen reader.

import { card, scaleLine, scaleLines } from "./cards.js";
import { ChartView } from "./chart_view.js";
import { noteName, spoken, withSigns } from "./names.js";
import { KEY_STEPS } from "./settings.js";
import { writeSheet } from "./sheet.js";
import { html } from "./svg.js";
import { barTicks, chordAt, chordIn, guideIn, tonicIn } from "./track.js";

const SAID_EVERY_MS = 1500; // at most, so that speech keeps up

const $ = (id) => document.getElementById(id);

export class View {
  constructor(settings, chosen) {
    this.settings = settings;
    this.track = settings.track;
    this.chart = new ChartView(this.track, $("chart"), chosen);
    this.saidAt = -Infinity;
    const { track } = this;
    $("facts").textContent =
      `${track.bars} bars of ${track.meter.join("/")}, ${track.feel}, ${track.drums.replaceAll("-", " ")} drums. ` +
      `${track.choruses} different times round, then from the top again, in any key and at any tempo.`;
  }

  /** Everything that depends on the settings, with the key that sounds. */
  refresh(place = null) {
    this.shownKey = place?.key ?? this.settings.key;
    const { written } = this.settings;
    this.chart.write(this.shownKey, written);
    this.chart.showStretch(this.settings.from, this.settings.to);
    const tonic = noteName(tonicIn(this.track, this.shownKey, written));
    const reader = written === "C" ? "" : ` for ${withSigns(written)} instruments`;
    $("key-name").textContent = `${tonic}${this.track.minor ? " minor" : ""}${reader}`;
    const guide = guideIn(this.track, this.shownKey, written);
    const lines = guide.scales.slice(0, 2).map(([title, notes]) => scaleLine(title, notes));
    $("throughout").replaceChildren(html("p", {}, guide.about), ...lines);
    this.shownCards = "";
    this.follow(place);
  }

  /** What would be printed now. */
  writeSheet() {
    writeSheet($("sheet"), this.track, this.settings);
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
    const shown = `${this.shownKey} ${number} ${playing}`;
    if (shown === this.shownCards) return;
    this.shownCards = shown;
    const now = chordIn(this.track, number, this.shownKey, this.settings.written);
    const next = this.#nextChord(number);
    const change = guideIn(this.track, this.shownKey, this.settings.written).changes.find(
      ([from, to]) => from === now.distinct && to === next.distinct,
    );
    $("cards").replaceChildren(
      card(this.settings, now, "Now", scaleLines(now)),
      card(this.settings, next, "Next", (change?.[2] ?? []).map((words) => html("p", { class: "change" }, words))),
    );
    if (playing) this.#say(`Bar ${bar}: ${spoken(now.name)}. Next ${spoken(next.name)}.`);
  }

  /** The chord that comes after one: at the end of the stretch the first one of the next round. */
  #nextChord(number) {
    const { track, settings } = this;
    const size = barTicks(track);
    const [start, length] = track.chords[number];
    if (start + length < settings.to * size) return chordIn(track, number + 1, this.shownKey, this.settings.written);
    const first = chordAt(track, (settings.from - 1) * size);
    return chordIn(track, first, (this.shownKey + KEY_STEPS[settings.nextKey]) % 12, this.settings.written);
  }

  #say(words) {
    const now = performance.now();
    if (now - this.saidAt < SAID_EVERY_MS) return;
    this.saidAt = now;
    $("said").textContent = words;
  }
}
