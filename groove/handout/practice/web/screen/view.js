// The screen's picture of the music: bar, beat, chord now and next; announcements to a screen reader.

import { card, hearing, scaleLine, scaleLines, shapeOf } from "./cards.js";
import { ChartView } from "./chart_view.js";
import { barAfter, barAt, barLine, goesRoundAfter, homeIn, keyName, passAt, placeInWords, roundAt, settingOf } from "../music/road.js";
import { factsOf } from "./facts.js";
import { RoadView } from "./road_view.js";
import { sectionAt } from "../music/sections.js";
import { Speech } from "./speech.js";
import { html } from "./svg.js";
import { TabView } from "./tab.js";
import { secondsPerTick } from "../music/time.js";
import { chordAt, chordIn, guideIn, isSameChord, readerIn, tonicIn } from "../music/track.js";
import { say } from "../music/words.js";

const $ = (id) => document.getElementById(id);

export class View {
  /** chosen: called with the bars that a press on the chart asks for; pressed: on the road. */
  constructor(settings, chosen, pressed) {
    this.settings = settings;
    this.track = settings.track;
    this.chart = new ChartView(this.track, $("chart"), chosen);
    this.road = this.track.road ? new RoadView(this.track, $("road"), pressed) : null;
    this.tab = new TabView(settings, $("solo-tab"), $("tab"), $("tab-hint"));
    this.states = new Map(); // the elements of short states by their names
    new ResizeObserver(fitSounding).observe($("sounding"));
    this.draws = { cards: true, drawing: false };
    this.speech = new Speech((words) => ($("said").textContent = words));
    $("facts").textContent = factsOf(this.track);
    for (const element of document.querySelectorAll(".of-road")) element.hidden = !this.road;
  }

  /**
   * Shows a short state beside the transport, under a name of its own; "" takes it away. press: what a press
   * of it does, if it does something.
   */
  tell(name, words, press = null) {
    const before = this.states.get(name);
    if ((before?.textContent ?? "") === words) return;
    if (words) {
      const state = press ? html("button", { type: "button", "data-of": name }, words) : html("span", { "data-of": name }, words);
      if (press) state.addEventListener("click", press);
      this.states.set(name, state);
      if (before) before.replaceWith(state);
      else $("states").append(state);
    } else {
      this.states.delete(name);
      before.remove();
    }
    $("states").hidden = !this.states.size;
  }

  /** Draws what a layout shows: the cards on the page and in an open drawer, one drawing in the play view. */
  showIn(layout, drawerIsOpen) {
    new ResizeObserver(fitSounding).observe($("sounding"));
    this.draws = { cards: layout === "page" || drawerIsOpen, drawing: layout === "play" };
    this.shownCards = null;
    this.chart.showIn(layout);
    if (this.shownKey !== undefined) this.follow(this.place);
  }

  /** Shows all that depends on the settings, in the key that sounds. */
  refresh(place = null) {
    this.shownKey = place?.key ?? this.settings.key;
    const { track, settings } = this;
    const { written } = settings;
    const bar = this.#barOf(place);
    const round = roundAt(track, bar - 1);
    this.chart.showRound(round);
    this.chart.write(this.shownKey, written, place?.tempo ?? settings.tempo);
    this.chart.showStretch(settings);
    this.shownPlace = null;
    const reader = readerIn(track, written);
    const home = homeIn(track, this.shownKey, bar - 1);
    const title = `chart.title${round ? "_of" : ""}${reader ? "_for" : ""}`;
    $("stand-title").textContent = say(title, { key: this.#keyName(home), round: round?.words, reader });
    const guide = guideIn(track, home, written);
    const lines = guide.scales.slice(0, 2).map(scaleLine);
    $("throughout").replaceChildren(html("p", {}, guide.about), ...lines);
    this.follow(place);
    this.more?.(this.shownKey);
  }

  /** The bar that sounds, from 1; the first that is practised while none does. */
  #barOf(place) {
    const { track, settings } = this;
    const isOver = track.road && place?.stage === "landing";
    if (place?.stage !== "playing" && !isOver) return settings.from;
    return (Math.max(0, barAt(track, place.tick)) % track.bars) + 1;
  }

  /** Shows a place in the music; null while nothing plays. */
  follow(place) {
    const { track, settings } = this;
    this.place = place;
    const bar = this.#barOf(place);
    const isNew = (place && place.key !== this.shownKey) || roundAt(track, bar - 1) !== this.chart.round;
    if (isNew) return this.refresh(place);
    const playing = place?.stage === "playing";
    const start = barLine(track, bar - 1);
    const setting = settingOf(track, bar - 1);
    const inBar = mod((place?.tick ?? 0) - (track.road && playing ? start : 0), setting.barTicks);
    const tick = playing ? start + inBar : start;
    const beat = place && place.stage !== "tuning" ? setting.beats.filter((at) => at <= inBar).length - 1 : -1;
    this.#showBeat(place, bar, beat, setting.beats.length);
    this.chart.showComing(this.#coming(place));
    this.chart.showBar(...(playing ? [bar] : [0, bar]));
    this.#showRoad(playing ? bar : 0);
    this.#showCards(chordAt(track, tick), place);
    this.tab.show(this.shownKey, playing ? place.tick : start, playing);
    if (place?.stage === "playing" || place?.stage === "counting") this.#say(place, bar, inBar);
    else this.speech.rest();
    return undefined;
  }

  /** Shows the place on the road, if it has changed. */
  #showRoad(bar) {
    if (!this.road || this.shownPlace === bar) return;
    this.shownPlace = bar;
    this.road.show(this.settings, bar);
  }

  /** A key as an instrument reads it, in the chart's words: "E♭ minor blues". */
  #keyName(key) {
    return keyName(this.track, tonicIn(this.track, key, this.settings.written));
  }

  /** Announces the bar that sounds in a beat: speech takes time, and then its chord is there. */
  #say(place, here, inBar) {
    const { track, settings } = this;
    const { beatTicks, barTicks } = settingOf(track, here - 1);
    let { round, key } = place;
    let bar = here;
    if (place.stage === "counting") {
      if (place.tick + beatTicks < 0) return;
    } else if (inBar + beatTicks >= barTicks) {
      bar = barAfter(track, settings, here - 1, place.goesOn) + 1;
      if (bar > track.bars) return;
      if (here === settings.to && !goesRoundAfter(track, settings, here - 1, place.goesOn)) {
        if (this.#isLast(round)) return;
        round += 1;
        key = settings.keyAfter(key, place.steps);
      }
    }
    if (bar === this.speech.bar && round === this.speech.round) return;
    const chords = this.chart.namesIn(bar, key, settings.written);
    const part = track.road && passAt(track, bar - 1).first === bar - 1 ? placeInWords(track, bar - 1) : "";
    const home = this.#keyName(homeIn(track, key, bar - 1));
    const isNextAfter = bar !== settings.to && bar < track.bars && barAfter(track, settings, bar - 1, place.goesOn) === bar;
    const next = isNextAfter ? this.chart.namesIn(bar + 1, key, settings.written) : [];
    const lasts = 1000 * settingOf(track, bar - 1).barTicks * secondsPerTick(track, settings.tempo);
    this.speech.follow(settings.told, { bar, round, key: home, chords, part, next, lasts }, performance.now());
  }

  /** The bar that comes after the last one of the chart, and its key; null for the end, or where bars inside it go round. */
  #coming(place) {
    const { track, settings } = this;
    const last = this.chart.last;
    if (settings.to < last) return null;
    const after = barAfter(track, settings, last - 1, place?.goesOn);
    if (after >= track.bars) return null;
    const isOver = settings.to === last && !goesRoundAfter(track, settings, last - 1, place?.goesOn);
    if (!isOver) return { bar: after + 1, key: this.shownKey };
    return this.#isLast(place?.round ?? 0) ? null : { bar: settings.from, key: settings.keyAfter(this.shownKey, place?.steps) };
  }

  #isLast(round) {
    return !this.settings.forEver && round + 1 >= this.settings.rounds;
  }

  #showBeat(place, bar, beat, beats) {
    const round = (place?.round ?? 0) + 1;
    const words = {
      tuning: "tuning",
      counting: "counting",
      resting: "resting",
      playing: this.road ? "on_road" : "in_round",
      landing: "end",
    };
    const { from, to } = this.settings;
    const sentence = words[place?.stage] ?? (from === to ? "bar" : "bars");
    const where = this.road ? placeInWords(this.track, bar - 1) : "";
    const word = say(`play.${sentence}`, { bar, round, from, to, place: where });
    if ($("bar-number").textContent !== word) $("bar-number").textContent = word;
    const section = this.road ? "" : sectionAt(this.track, bar)?.name ?? "";
    if ($("section-now").textContent !== section) $("section-now").textContent = section;
    if ($("beats").children.length !== beats) {
      $("beats").replaceChildren(...Array.from({ length: beats }, () => html("i")));
      this.shownBeat = null;
    }
    if (beat === this.shownBeat) return;
    this.shownBeat = beat;
    [...$("beats").children].forEach((dot, n) => dot.classList.toggle("on", n === beat));
  }

  /** Shows the chord that sounds and the next one; nothing is drawn anew that stands there already. */
  #showCards(number, place) {
    const { track, settings } = this;
    const { written, shape, tuning, leftHanded, scale, place: hand, fret } = settings;
    const [coming, comingKey] = this.nextChord(number, place);
    const [other, otherKey] = this.#otherChord(number, place);
    const now = chordIn(track, number, this.shownKey, written);
    const next = coming === null ? null : chordIn(track, coming, comingKey, written);
    const told = (chord) => (chord ? `${chord.key} ${chord.distinct} ${chord.name}` : "");
    const otherName = other === null ? "" : chordIn(track, other, otherKey, written).name;
    const shown = [told(now), told(next), otherName, written, shape, tuning, leftHanded, scale, hand, fret].join(" ");
    if (shown === this.shownCards) return;
    this.shownCards = shown;
    /** The chords of the cards: their numbers, the keys of home and what they are; next: null at the end of the road. */
    this.cards = { now: { number, key: this.shownKey, chord: now }, next: next && { number: coming, key: comingKey, chord: next } };
    $("chord-now").textContent = now.name;
    $("chord-next").textContent = otherName;
    fitSounding();
    if (this.draws.drawing) this.#draw(now);
    if (this.draws.cards) this.#writeCards(now, next);
    this.newChord?.();
  }

  /** Draws a chord in the play view, over the line that names what is drawn and lets it be heard. */
  #draw(chord) {
    const figure = shapeOf(this.settings, chord, chord.key);
    const name = figure?.querySelector("figcaption");
    $("drawn-name").replaceChildren(...(name?.childNodes ?? [say("hear.tones")]));
    name?.remove();
    $("drawing").querySelector("figure")?.remove();
    $("drawn-line").hidden = !figure;
    if (figure) $("drawing").prepend(figure);
  }

  #writeCards(now, next) {
    const { track, settings } = this;
    const change = guideIn(track, now.key, settings.written).changes.find(
      ([from, to]) => from === now.distinct && to === next?.distinct,
    );
    const words = (change?.[2] ?? []).map((sentence) => html("p", { class: "change" }, sentence));
    const focused = document.activeElement?.closest("#cards") ? hearing(document.activeElement) : null;
    $("cards").replaceChildren(
      card(settings, now, now.key, "now", scaleLines(now)),
      next ? card(settings, next, next.key, "next", words) : "",
    );
    if (focused) [...$("cards").querySelectorAll("[data-hear]")].find((button) => hearing(button) === focused)?.focus();
  }

  /**
   * The number of the next chord that is another one, and its key. Null at the end of the road, and where
   * bars without another one go round.
   */
  #otherChord(number, place) {
    const { track, shownKey: home } = this;
    const seen = new Set();
    let [coming, key] = this.nextChord(number, place);
    while (coming !== null && key === home && isSameChord(track, coming, number)) {
      if (seen.has(coming)) return [null, home];
      seen.add(coming);
      [coming, key] = this.nextChord(coming, place);
    }
    return [coming, key];
  }

  /**
   * The number of the chord after one, and its key. At the end of the bars that are practised it is
   * the first of the next round, in that round's key; after the last round the key stays. Null at the
   * end of the road.
   */
  nextChord(number, place) {
    const { track, settings } = this;
    const [start, length] = track.chords[number];
    const end = start + length;
    const bar = Math.min(barAt(track, end - 1), settings.to - 1);
    if (end < barLine(track, bar + 1)) return [number + 1, this.shownKey];
    const after = barAfter(track, settings, bar, place?.goesOn);
    const isOver = after >= track.bars || (bar + 1 === settings.to && !goesRoundAfter(track, settings, bar, place?.goesOn));
    if (!isOver) return [after === bar + 1 ? number + 1 : chordAt(track, barLine(track, after)), this.shownKey];
    const isLast = this.#isLast(place?.round ?? 0);
    if (isLast && track.road && settings.to === track.bars) return [null, this.shownKey];
    const first = chordAt(track, barLine(track, settings.from - 1));
    return [first, isLast ? this.shownKey : settings.keyAfter(this.shownKey, place?.steps)];
  }
}

/** Makes the chords that sound now and next smaller where they don't fit. */
function fitSounding() {
  const line = $("sounding");
  line.style.removeProperty("--fit");
  const share = line.clientWidth / line.scrollWidth;
  if (share < 1) line.style.setProperty("--fit", 0.98 * share);
}

/** The rest of a division, 0 or more. */
function mod(value, size) {
  return ((value % size) + size) % size;
}
