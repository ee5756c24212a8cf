// The screen's picture of the music: bar, beat, chord now and next; announcements to a screen reader.

import { card, scaleLine, scaleLines } from "./cards.js";
import { ChartView } from "./chart_view.js";
import { noteName } from "./names.js";
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
      `${track.bars} bars of ${track.meter.join("/")}, ${track.feel}; drums: ${track.drums}. ` +
      `Any key, any tempo: the band plays ${track.choruses} different rounds, then begins again with the first.`;
  }

  /** Shows all that depends on the settings, in the key that sounds. */
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
    this.follow(place);
  }

  /** Shows a place in the music; null while nothing plays. */
  follow(place) {
    const { track, settings } = this;
    if (place && place.key !== this.shownKey) return this.refresh(place);
    const size = barTicks(track);
    const playing = place?.stage === "playing";
    const inChorus = playing ? place.tick % (size * track.bars) : (settings.from - 1) * size;
    const bar = Math.floor(inChorus / size) + 1;
    const beat = place && place.stage !== "tuning" ? track.beats.filter((start) => start <= place.tick % size).length - 1 : -1;
    this.#showBeat(place, bar, beat);
    this.chart.showBar(playing ? bar : 0);
    this.#showCards(chordAt(track, inChorus), place);
    if (place?.stage === "playing" || place?.stage === "counting") this.#say(place, inChorus);
    else this.speech.rest();
    return undefined;
  }

  /** A key as an instrument reads it, in the chart's words: "E♭ minor blues". */
  #keyName(key = this.shownKey) {
    const tonic = noteName(tonicIn(this.track, key, this.settings.written));
    return `${tonic} ${this.track.mode}`.trim();
  }

  /** Announces the bar that sounds in a beat: speech takes time, and then its chord is there. */
  #say(place, inChorus) {
    const { track, settings } = this;
    const size = barTicks(track);
    let { round, key } = place;
    let bar = Math.floor((inChorus + track.beatTicks) / size) + 1;
    if (place.stage === "counting") {
      if (place.tick + track.beatTicks < size * settings.countInBars) return;
      bar = settings.from;
    } else if (bar > settings.to) {
      if (this.#isLast(round)) return;
      bar = settings.from;
      round += 1;
      key = settings.keyAfter(key);
    }
    if (bar === this.speech.bar && round === this.speech.round) return;
    const chords = this.chart.namesIn(bar, key, settings.written);
    this.speech.follow(settings.told, { bar, round, key: this.#keyName(key), chords }, performance.now());
  }

  #isLast(round) {
    return !this.settings.forEver && round + 1 >= this.settings.rounds;
  }

  #showBeat(place, bar, beat) {
    const words = {
      tuning: "Tuning note",
      counting: "Count-in",
      playing: `Bar ${bar}, round ${(place?.round ?? 0) + 1}`,
      landing: "The end",
    };
    const { from, to } = this.settings;
    const word = words[place?.stage] ?? (from === to ? `Bar ${from}` : `Bars ${from} to ${to}`);
    if ($("bar-number").textContent !== word) $("bar-number").textContent = word;
    if (beat === this.shownBeat) return;
    this.shownBeat = beat;
    [...$("beats").children].forEach((dot, n) => dot.classList.toggle("on", n === beat));
  }

  /** Shows the chord that sounds and the next one; nothing is drawn anew that stands there already. */
  #showCards(number, place) {
    const { track, settings } = this;
    const { written, shape, fret } = settings;
    const [coming, comingKey] = this.#nextChord(number, place?.round ?? 0);
    const distinct = (chord) => track.chords[chord][5];
    const shown = [this.shownKey, distinct(number), comingKey, distinct(coming), written, shape, fret].join(" ");
    if (shown === this.shownCards) return;
    this.shownCards = shown;
    const now = chordIn(track, number, this.shownKey, written);
    const next = chordIn(track, coming, comingKey, written);
    $("chord-now").textContent = now.name;
    $("chord-next").textContent = next.name;
    const change = guideIn(track, this.shownKey, written).changes.find(
      ([from, to]) => from === now.distinct && to === next.distinct,
    );
    $("cards").replaceChildren(
      card(settings, now, this.shownKey, "Now", scaleLines(now)),
      card(settings, next, comingKey, "Next", (change?.[2] ?? []).map((words) => html("p", { class: "change" }, words))),
    );
  }

  /**
   * The number of the chord after one, and its key. At the end of the bars that are practised it is
   * the first of the next round, in that round's key; after the last round the key stays.
   */
  #nextChord(number, round) {
    const { track, settings } = this;
    const size = barTicks(track);
    const [start, length] = track.chords[number];
    if (start + length < settings.to * size) return [number + 1, this.shownKey];
    const first = chordAt(track, (settings.from - 1) * size);
    return [first, this.#isLast(round) ? this.shownKey : settings.keyAfter(this.shownKey)];
  }
}
