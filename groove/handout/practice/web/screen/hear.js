// The panel of what can be heard: scales, arpeggios and lines of guide tones where they are drawn, licks, and
// the example solo. Each sounding note lights on its drawing.

import { chordSpan, guideTones, heldChord, voicing } from "../music/chord_lines.js";
import { arpeggio, drawnTones, eighth, run, scaleNamed, upAndDown } from "../music/exercises.js";
import { playedLine } from "../music/lines.js";
import { BAND, PACES } from "../music/listening.js";
import { noteName, spoken, spokenChord } from "../music/names.js";
import { barAt, barLine, settingOf } from "../music/road.js";
import { shownOver } from "../music/shown.js";
import { numbersIn } from "../music/streams.js";
import { chordAt, chordIn, SOLO, tonicIn } from "../music/track.js";
import { say } from "../music/words.js";
import { HearSolo } from "./hear_solo.js";
import { LicksView } from "./licks_view.js";
import { html } from "./svg.js";

const PERCENT = 100;
const MOST_LISTED = 64; // chords of a line of guide tones
const $ = (id) => document.getElementById(id);

export class HearPanel {
  /** start, stop: start and stop the band. changed: called when a setting has changed. */
  constructor(settings, view, { start, stop, changed }) {
    Object.assign(this, { settings, view, stop, changed, track: settings.track, stage: null, pressed: null, words: "" });
    this.licks = new LicksView(settings, $("hear-licks"));
    this.solo = new HearSolo(settings, view, { start, stop });
    $("hear-pace").append(...PACES.map((pace) => html("option", { value: pace }, say("hear.percent", { pace }))));
    this.#on("hear-over", (value) => (settings.hearOver = value));
    this.#on("hear-pace", (value) => (settings.pace = Number(value)));
    $("hear-stop").addEventListener("click", () => this.hush());
    document.addEventListener("click", (event) => {
      const button = event.target.closest?.("[data-hear]");
      if (button) this.#press(button);
    });
  }

  #on(id, set) {
    $(id).addEventListener("change", () => {
      set($(id).value);
      this.changed("hear");
    });
  }

  /** Gets what sounds, as soon as it is made. */
  ready({ stage, audition }) {
    Object.assign(this, { stage, audition });
    this.solo.ready(stage);
  }

  /** Shows the settings, the chord that is shown, and lines in the key that is shown. */
  refresh() {
    const { settings, view } = this;
    if (!view.cards) return;
    this.solo.refresh();
    $("hear-over").value = settings.hearOver;
    $("hear-pace").value = settings.pace;
    const { chord } = view.cards.now;
    const words = say("hear.over_chord", { chord: chord.name });
    if ($("hear-chord").textContent !== words) $("hear-chord").textContent = words;
    const { title } = shownOver(this.track, settings.scale, chord);
    const drawn = title ?? say("hear.tones");
    $("hear-drawn").textContent = drawn;
    $("hear-it").dataset.words = drawn;
    $("hear-it").setAttribute("aria-label", say("hear.play_it", { what: spoken(drawn) }));
    const { written, shape, tuning, from, to } = settings;
    const asked = [view.shownKey, written, shape, tuning, from, to].join(" ");
    if (asked !== this.shown) {
      this.shown = asked;
      this.licks.show(view.shownKey);
      this.#listGuides(view.shownKey);
    }
    if (this.words) this.#show(this.words); // on buttons that are new
  }

  /** Plays what is drawn over the chord that sounds, or ends what is heard. */
  toggle() {
    if (this.audition?.playing) this.hush();
    else this.#press(document.querySelector("#hear [data-hear=drawn]"));
  }

  hush() {
    this.audition?.hush();
  }

  /** Shows a place in the music. */
  follow(place) {
    this.solo.follow(place);
  }

  /** The band has stopped. */
  stopped() {
    if (this.audition?.over === BAND) this.hush();
    this.solo.stopped();
  }

  /** Ends what is heard without the band, because it would be other notes now. */
  hushAlone() {
    if (this.audition?.playing && this.audition.over !== BAND) this.hush();
  }

  #press(button) {
    if (!this.stage) return;
    const again = this.audition.playing && this.pressed?.name === nameOf(button);
    this.hush();
    if (again) return;
    const { hear, lick, words = button.textContent } = button.dataset;
    const which = button.closest("[data-chord]")?.dataset.chord ?? "now";
    this.pressed = { name: nameOf(button), which };
    if (hear === "guides") this.#playGuides(words);
    else if (hear === "lick") this.#playLick(Number(lick), words);
    else this.#playOver(hear, which, words);
  }

  /** Whether something is to sound over the band that plays. */
  get #overBand() {
    return this.stage.playing && this.settings.hearOver !== "alone";
  }

  /** The rising places of what is asked for over a chord: what is drawn, an arpeggio or a scale by its title. */
  #rising(what, chord) {
    const { settings, track } = this;
    if (what === "arpeggio") return arpeggio(settings, chord);
    const tones = what === "drawn" ? shownOver(track, settings.scale, chord).tones : scaleNamed(track, what, chord);
    return tones && drawnTones(settings, chord, tones);
  }

  /** Plays a scale or an arpeggio up and down over the chord of a card. */
  #playOver(what, which, words) {
    const { settings, track, view } = this;
    const { number, key, chord } = view.cards[which];
    const rising = this.#rising(what, chord);
    if (!rising?.length) return;
    const part = this.#partFor(rising.map(({ pitch }) => pitch));
    if (this.#overBand) {
      this.#play(this.#running(what), words, { part, over: BAND, from: which === "next" ? this.#endOfChord() : 0 });
      return;
    }
    const holds = settings.hearOver !== "alone";
    const notes = upAndDown(rising, eighth(track), holds ? track.beatTicks : 0);
    this.#play(notes, words, { part, over: holds ? voicing(settings, number, key) : null });
  }

  /** A run over the running band: its notes are those of the chords that sound. */
  #running(what) {
    const { settings, track } = this;
    const next = run();
    const found = new Map();
    return ({ tick, key, stage }) => {
      if (stage !== "playing") return null;
      const number = chordAt(track, this.#inRound(tick));
      const name = `${number} ${key}`;
      if (!found.has(name)) found.set(name, this.#rising(what, chordIn(track, number, key, settings.written)));
      const place = found.get(name) && next(found.get(name));
      return place && { ...place, length: eighth(track) };
    };
  }

  /** The time of the context at which the chord that sounds is over. */
  #endOfChord() {
    const place = this.stage.place();
    if (place?.stage !== "playing") return 0;
    const { to } = chordSpan(this.track, this.view.cards.now.number);
    return this.stage.context.currentTime + (to - this.#inRound(place.tick)) * place.perTick;
  }

  /** A tick of the band in the round that the data has the chords of. */
  #inRound(tick) {
    return this.track.road ? tick : tick % barLine(this.track, this.track.bars);
  }

  /** Plays both lines of guide tones through the bars that are practised. */
  #playGuides(words) {
    const { settings, track, view } = this;
    const pitches = guideTones(settings, view.shownKey);
    const part = this.#partFor(pitches.flat());
    const [start, end] = [barLine(track, settings.from - 1), barLine(track, settings.to)];
    if (this.#overBand) {
      let left = end - start;
      this.#play(({ tick, stage, key }) => {
        if (stage !== "playing" || left <= 0) return null;
        const here = this.#inRound(tick);
        const number = chordAt(track, here);
        const line = barLine(track, barAt(track, here) + 1);
        const length = Math.max(1, Math.min(chordSpan(track, number).to, end, line) - here);
        left -= length;
        return { length, pitches: guideTones(settings, key)[number], marks: [`guide-${number}`] };
      }, words, { part, over: BAND });
      return;
    }
    const notes = [];
    for (let number = chordAt(track, start); number < track.chords.length; ) {
      const { from, to, last } = chordSpan(track, number);
      if (from >= end) break;
      const at = Math.max(from, start);
      const length = Math.min(to, end) - at;
      if (settings.hearOver !== "alone") notes.push(...this.#struck(heldChord(voicing(settings, number, view.shownKey)), at - start, length));
      notes.push(...this.#struck({ pitches: pitches[number], marks: [`guide-${number}`] }, at - start, length));
      number = last + 1;
    }
    this.#play(notes.sort((one, other) => one.at - other.at), words, { part });
  }

  /** Notes that are held, struck anew in each bar. */
  #struck(held, at, length) {
    const { barTicks } = settingOf(this.track, 0);
    const strokes = Array.from({ length: Math.ceil(length / barTicks) }, (_, n) => n * barTicks);
    return strokes.map((after) => ({ ...held, at: at + after, length: Math.min(barTicks, length - after) }));
  }

  #listGuides(key) {
    const { settings, track } = this;
    const fifths = [...numbersIn(track.hear.guideTones)];
    const tonic = tonicIn(track, key, settings.written);
    const [start, end] = [barLine(track, settings.from - 1), barLine(track, settings.to)];
    const items = [];
    for (let number = chordAt(track, start); number < track.chords.length && track.chords[number][0] < end; number = chordSpan(track, number).last + 1) {
      const moved = (7 * (track.chords[number][7] ?? 0)) % 12;
      const names = [1, 0].map((line) => noteName(tonic + fifths[2 * number + line] + (moved > 6 ? moved - 12 : moved)));
      const { name } = chordIn(track, number, key, settings.written);
      const told = say("hear.guides_of", { chord: spokenChord(name), upper: spoken(names[0]), lower: spoken(names[1]) });
      items.push(html("li", { "data-at": `guide-${number}` }, html("span", { "aria-hidden": "true" }, html("b", {}, name), html("i", {}, names[0]), html("i", {}, names[1])), html("span", { class: "unseen" }, told)));
    }
    $("hear-guides").hidden = items.length > MOST_LISTED;
    $("hear-guides").replaceChildren(...(items.length > MOST_LISTED ? [] : items));
  }

  /** Plays a lick over the chord at home; the band stops. */
  #playLick(number, words) {
    const { settings, track, view } = this;
    const notes = playedLine(this.licks.notes(number), track.beatTicks);
    const { instrument } = settings.tunings[track.hear.licks.tuning];
    const part = this.#partFor(notes.map(({ pitch }) => pitch), instrument);
    const home = Math.max(0, track.chords.findIndex(([, , root]) => root === 0));
    const over = settings.hearOver === "alone" ? null : voicing(settings, home, view.shownKey);
    this.#play(notes.map((note) => ({ ...note, lick: number })), words, { part, over });
  }

  /** The part of the band whose sound suits an instrument and some pitches best. */
  #partFor(pitches, instrument = this.settings.shape) {
    const there = this.track.parts.map(({ name }) => name);
    const parts = instrument === "bass" ? ["bass", SOLO] : [SOLO, "keys", "comping", "guitar"];
    return this.audition.partFor(parts.filter((part) => there.includes(part)), pitches);
  }

  #play(notes, words, options) {
    if (options.over !== BAND && this.stage.playing) this.stop();
    const tempo = (this.settings.tempo * this.settings.pace) / PERCENT;
    this.audition.play(notes, { tempo, ...options, done: () => this.#show("") });
    this.#show(words);
    this.#light();
  }

  /** Shows what is heard; nothing when it is over. */
  #show(words) {
    this.words = words;
    $("hear-stop").disabled = !words;
    for (const button of document.querySelectorAll("[data-hear]")) {
      button.setAttribute("aria-pressed", String(words !== "" && nameOf(button) === this.pressed.name));
    }
    this.view.tell?.("hear", words && say("hear.sounding", { what: words }));
    if (words) return;
    this.licks.light([]);
    this.#lit(new Set());
  }

  /** Before each picture: lights the notes that sound. */
  #light() {
    if (!this.audition.playing) return;
    const now = this.audition.sounding();
    this.licks.light(now);
    this.#lit(new Set(now.flatMap(({ mark, marks = [mark] }) => marks).filter(Boolean)));
    requestAnimationFrame(() => this.#light());
  }

  #lit(marks) {
    const { which } = this.pressed;
    for (const mark of document.querySelectorAll(`#cards .${which} [data-at], #drawing [data-at], #hear-guides [data-at]`)) {
      mark.classList.toggle("lit", marks.has(mark.dataset.at));
    }
  }
}

/** What a button lets hear, and over which chord. */
function nameOf(button) {
  const { hear, lick = "" } = button.dataset;
  return `${hear} ${lick} ${button.closest("[data-chord]")?.dataset.chord ?? ""}`;
}
