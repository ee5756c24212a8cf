// What the screen shows of the music: bar, beat, chord now and next; words for a screen reader.

import { card, scaleLine, scaleLines } from "./cards.js";
import { ChartView } from "./chart_view.js";
import { noteName } from "./names.js";
import { writeSheet } from "./sheet.js";
import { Speech } from "./speech.js";
import { html } from "./svg.js";
import { barTicks, chordAt, chordIn, guideIn, readerIn, tonicIn } from "./track.js";

const $ = (id) => document.getElementById(id);

export class View {
  constructor(settings, chosen) {
    this.settings = settings;
    this.track = settings.track;
    this.chart = new ChartView(this.track, $("chart"), chosen);
    this.speech = new Speech((words) => ($("said").textContent = words));
    const { track } = this;
    $("facts").textContent =
      `${track.bars} bars of ${track.meter.join("/")}, ${track.feel}, ${track.drums.replaceAll("-", " ")} drums. ` +
      `Any key, any tempo: the band plays ${track.choruses} different rounds, then begins again with the first.`;
  }

  /** Everything that depends on the settings, with the key that sounds. */
  refresh(place = null) {
    this.shownKey = place?.key ?? this.settings.key;
    const { written } = this.settings;
    this.chart.write(this.shownKey, written);
    this.chart.showStretch(this.settings.from, this.settings.to);
    const reader = readerIn(this.track, written);
    $("key-name").textContent = this.#keyName() + (reader ? ` for ${reader}` : "");
    const guide = guideIn(this.track, this.shownKey, written);
    const lines = guide.scales.slice(0, 2).map(scaleLine);
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
    this.#showCards(chordAt(track, inChorus), place);
    if (playing) this.#say(bar, place.round);
    else this.speech.rest();
    return undefined;
  }

  /** The key that is shown, as an instrument reads it: "E♭ minor". */
  #keyName() {
    const tonic = noteName(tonicIn(this.track, this.shownKey, this.settings.written));
    return `${tonic}${this.track.minor ? " minor" : ""}`;
  }

  #say(bar, round) {
    if (bar === this.speech.bar && round === this.speech.round) return;
    const { told, written } = this.settings;
    const chords = this.chart.namesIn(bar, this.shownKey, written);
    this.speech.follow(told, { bar, round, key: this.#keyName(), chords }, performance.now());
  }

  #showBeat(place, bar, beat) {
    const words = {
      counting: "Count-in",
      playing: `Bar ${bar}, round ${(place?.round ?? 0) + 1}`,
      landing: "The end",
    };
    const { from, to } = this.settings;
    const word = words[place?.stage] ?? (from === to ? `Bar ${from}` : `Bars ${from} to ${to}`);
    if ($("bar-number").textContent !== word) $("bar-number").textContent = word;
    [...$("beats").children].forEach((dot, n) => dot.classList.toggle("on", n === beat));
  }

  #showCards(number, place) {
    const shown = `${this.shownKey} ${number} ${place?.round}`;
    if (shown === this.shownCards) return;
    this.shownCards = shown;
    const now = chordIn(this.track, number, this.shownKey, this.settings.written);
    const next = this.#nextChord(number, place?.round ?? 0);
    $("chord-now").textContent = now.name;
    $("chord-next").textContent = next.name;
    const change = guideIn(this.track, this.shownKey, this.settings.written).changes.find(
      ([from, to]) => from === now.distinct && to === next.distinct,
    );
    $("cards").replaceChildren(
      card(this.settings, now, "Now", scaleLines(now)),
      card(this.settings, next, "Next", (change?.[2] ?? []).map((words) => html("p", { class: "change" }, words))),
    );
  }

  /**
   * The chord that comes after one. At the end of the stretch the first one of the next round, in
   * its key; after the last round the band lands in the key that it is in.
   */
  #nextChord(number, round) {
    const { track, settings } = this;
    const size = barTicks(track);
    const [start, length] = track.chords[number];
    if (start + length < settings.to * size) return chordIn(track, number + 1, this.shownKey, this.settings.written);
    const first = chordAt(track, (settings.from - 1) * size);
    const isLast = !settings.forEver && round + 1 >= settings.rounds;
    const key = isLast ? this.shownKey : settings.keyAfter(this.shownKey);
    return chordIn(track, first, key, settings.written);
  }
}
