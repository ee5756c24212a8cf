// The controls of listening, and the mark on the bar of the chart that is heard.

import { html } from "../../practice/screen/svg.js";
import { say, wordsAt } from "../../practice/music/words.js";
import { asked } from "../asked.js";
import { AtOnce } from "./at_once.js";
import { Listening } from "./listening.js";

const $ = (id) => document.getElementById(id);
const PERCENT = 100;

export class ListenView {
  #version = 0; // of the form that was fetched last
  #marked = null;
  #looped = null; // the places of the bars that go round: [section, bar] as written

  /** state: a FormState. chart: the Chart. announce: called with words to be read out. */
  constructor(state, chart, announce) {
    Object.assign(this, { state, chart, announce });
    this.listening = new Listening({ told: (news, words) => this.#told(news, words), fetched: asked });
    const keep = (pace) => state.edit({ do: "pace", ...pace });
    this.atOnce = new AtOnce($("at-once"), this.listening, { keep, announce });
    $("play").addEventListener("click", () => this.playOrStop());
    $("loop").addEventListener("click", () => this.#loop());
    this.#follow();
  }

  /** Fetches the music of a new state; one with mistakes leaves the music as it is. */
  show({ isValid, version }) {
    if (!isValid || version === this.#version) return;
    this.#version = version;
    this.listening.refresh();
  }

  playOrStop() {
    if ($("play").getAttribute("aria-disabled") === "true") return;
    this.listening.playOrStop();
  }

  #told(news, words) {
    const isPlaying = this.listening?.playing ?? false;
    $("play").textContent = say(isPlaying ? "listen.stop" : "listen.play");
    const isReady = Boolean(this.listening?.stage);
    $("play").setAttribute("aria-disabled", String(!isReady));
    $("listening").textContent = this.#said(news, words, isReady);
    if (isReady && news !== "loading") this.#showLevels();
    if (!isPlaying) this.#mark(null);
    if (news !== "loading") this.atOnce?.show();
  }

  #said(news, words, isReady) {
    if (news === "trouble") return words in wordsAt("listen.troubles") ? say(`listen.troubles.${words}`) : say("listen.trouble", { trouble: words });
    if (news === "loading") return say(isReady ? "listen.new_sounds" : "listen.loading");
    return "";
  }

  /** Lets the chosen bars go round and round, or the whole form again. */
  #loop() {
    const range = this.#looped ? null : this.chart.selection.range;
    const bars = range && this.#barsOf(range);
    this.#looped = bars;
    $("loop").setAttribute("aria-pressed", String(Boolean(bars)));
    this.listening.loop(bars);
    this.announce(bars ? say("listen.looped", { from: bars.from, to: bars.to }) : say("listen.all"));
  }

  /** The bars of the track, from 1, in which the chosen bars are played first; null where they are not. */
  #barsOf({ section, bar, count }) {
    const number = this.chart.sections.indexOf(section);
    const { places } = this.listening;
    const from = places.findIndex(([of, at]) => of === number && at === bar);
    if (from < 0) return null;
    let to = from;
    while (to + 1 < places.length && to + 1 < from + count && places[to + 1][0] === number) to += 1;
    return { from: from + 1, to: to + 1 };
  }

  /** A slider for each part. */
  #showLevels() {
    const { settings } = this.listening.stage;
    const parts = settings.parts.filter((part) => part !== "click");
    const shown = [...$("levels").children].map((row) => row.dataset.part);
    if (shown.join() === parts.join()) return;
    $("levels").replaceChildren(...parts.map((part) => this.#level(part, settings.volume[part])));
  }

  #level(part, volume) {
    const id = `level-${part}`;
    const attributes = { type: "range", id, min: "0", max: "140", step: "5", value: String(Math.round(PERCENT * volume)) };
    const slider = html("input", attributes);
    slider.addEventListener("input", () => this.listening.setVolume(part, slider.value / PERCENT));
    const row = html("p", { class: "level" }, html("label", { for: id }, wordsAt("listen.parts")[part] ?? part), slider);
    row.dataset.part = part;
    return row;
  }

  #follow() {
    requestAnimationFrame(() => this.#follow());
    if (this.listening.playing) this.#mark(this.listening.place());
  }

  /** Marks the bar that is heard. */
  #mark(place) {
    const cell = place && !place.counting ? this.chart.sections[place.section]?.places[place.bar] : null;
    if (cell === this.#marked) return;
    this.#marked?.element.classList.remove("sounds");
    cell?.element.classList.add("sounds");
    this.#marked = cell ?? null;
  }
}
