// The controls of listening, and the mark on the bar of the chart that is heard.

import { say, wordsAt } from "../../practice/music/words.js";
import { asked } from "../asked.js";
import { AtOnce } from "./at_once.js";
import { Listening } from "./listening.js";

const $ = (id) => document.getElementById(id);
const MOST_WAIT = 200; // ms from a press to the first sound, where the last edit is on its way
const LOOK_EVERY = 10; // ms
const CALM = 100; // ms without a keystroke after which the music is made anew

export class ListenView {
  #version = 0; // of the form that was fetched last
  #later = 0; // the timer of music that is made once the typing rests
  #marked = null;
  #acts = []; // called when there is other music
  #starting = 0; // a number for each press that waits for the last edit
  #looped = null; // the places of the bars that go round: [section, bar] as written

  /** state: a FormState. chart: the Chart. announce: called with words to be read out. */
  constructor(state, chart, announce) {
    Object.assign(this, { state, chart, announce });
    this.listening = new Listening({ told: (news, words) => this.#told(news, words), fetched: asked });
    const keep = async (pace) => {
      const { version } = state.now;
      await state.edit({ do: "pace", ...pace });
      return state.now.version !== version;
    };
    this.atOnce = new AtOnce($("at-once"), this.listening, { keep, announce });
    $("play").addEventListener("click", () => this.playOrStop());
    $("loop").addEventListener("click", () => this.#loop());
    this.#follow();
  }

  /** Fetches the music of a new state; one with mistakes leaves the music as it is, an empty form has none. */
  show({ isValid, isEmpty, version }) {
    if (this.listening.isSilent !== isEmpty) this.listening.beSilent(isEmpty);
    if (!isValid || version === this.#version) return;
    this.#version = version;
    clearTimeout(this.#later);
    if (this.state.isTyping) this.#later = setTimeout(() => this.#refresh(), CALM);
    else this.#refresh();
  }

  #refresh() {
    clearTimeout(this.#later);
    this.#later = 0;
    this.listening.refresh();
  }

  /** act: called each time when there is other music, or it begins or stops. */
  onMusic(act) {
    this.#acts.push(act);
  }

  /** Plays, with the last edit if that is heard soon, or stops. */
  async playOrStop() {
    const { listening, state } = this;
    if ($("play").getAttribute("aria-disabled") === "true") return;
    const press = (this.#starting += 1);
    if (listening.playing) return listening.playOrStop();
    state.flush();
    if (this.#later) this.#refresh();
    if (state.isBehind || listening.asking) {
      listening.stage.context.resume(); // allowed in the press alone
      for (const until = Date.now() + MOST_WAIT; Date.now() < until && (state.isBehind || listening.asking); ) {
        await new Promise((over) => setTimeout(over, LOOK_EVERY));
        if (this.#later) this.#refresh();
      }
    }
    if (press === this.#starting && !listening.playing) listening.playOrStop();
  }

  #told(news, words) {
    const isPlaying = this.listening?.playing ?? false;
    $("play").textContent = say(isPlaying ? "listen.stop" : "listen.play");
    const isReady = Boolean(this.listening?.stage) && !this.listening.isSilent;
    $("play").setAttribute("aria-disabled", String(!isReady));
    $("listening").textContent = this.#said(news, words, isReady);
    if (isReady && news !== "loading") for (const act of this.#acts) act();
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

  #follow() {
    requestAnimationFrame(() => this.#follow());
    if (this.listening.playing) this.#mark(this.listening.place());
  }

  /** Marks the bar that is heard. */
  #mark(place) {
    const cell = place && !place.counting ? this.chart.sections[place.section]?.places[place.bar] : null;
    if (cell === this.#marked) return;
    const isFollowed = !this.#marked || isInSight(this.#marked.element);
    this.#marked?.element.classList.remove("sounds");
    cell?.element.classList.add("sounds");
    this.#marked = cell ?? null;
    if (cell && isFollowed && !this.chart.current?.isOpen && !isInSight(cell.element)) bringToSight(cell.element);
  }
}

/** Whether an element can be seen whole between what stays at the edges of the window. */
function isInSight(element) {
  const { top, bottom } = element.getBoundingClientRect();
  const style = getComputedStyle(document.documentElement);
  return top >= parseFloat(style.scrollPaddingTop) && bottom <= innerHeight - parseFloat(style.scrollPaddingBottom);
}

function bringToSight(element) {
  const isCalm = matchMedia("(prefers-reduced-motion: reduce)").matches;
  element.scrollIntoView({ block: "center", behavior: isCalm ? "auto" : "smooth" });
}
