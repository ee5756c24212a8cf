// The teacher's phrases in the key that sounds, over the chord that is chosen: as tablature where their neck
// is drawn, else as note names; and how they sound. The entry of pages that have some.

import { bentCourse } from "./music/bends.js";
import { practice } from "./main.js";
import { noteName, spoken, spokenChord } from "./music/names.js";
import { settingOf } from "./music/road.js";
import { numbersIn } from "./music/streams.js";
import { html } from "./screen/svg.js";
import { bendMark, tabBar } from "./screen/tab.js";
import { secondsPerTick, swingRatio, swung } from "./music/time.js";
import { JOINS, partNotes, SLIDE, SOLO, solosOf, tonicIn } from "./music/track.js";
import { say, wordFor } from "./music/words.js";

const STRINGS = 16; // phrases.py says how places and gestures are written
const BENDS = 4;
const RELEASES = 32;
const PART = "phrase"; // of the band: on the channel of the solo
const VELOCITY = { stroke: 92, joined: 72 };
const LEAD_SECONDS = 0.05;
const REST_SECONDS = 4; // until the context is suspended

const { track, settings, view } = practice;
const { phrases } = track;
const { barTicks } = settingOf(track, 0);
const $ = (id) => document.getElementById(id);
const places = [...document.querySelectorAll(".phrase")];
let shownKey = settings.key;

/** The notes of a phrase over the chord of a number, in the key that is shown. */
function notesOf(phrase, over) {
  const [low, tab] = phrases.placed[shownKey][phrase][over];
  const times = [...numbersIn(phrases.times[phrase])];
  const numbers = [...numbersIn(phrases.tabs[tab])];
  const { strings } = settings.tunings[phrases.tuning];
  let at = 0;
  const notes = times.filter((_, n) => n % 2).map((length, n) => {
    const [place, hand] = numbers.slice(2 * n);
    at += times[2 * n];
    const string = place % STRINGS;
    const fret = low + Math.floor(place / STRINGS);
    const joined = JOINS[hand % BENDS];
    const gesture = { bend: Math.floor((hand % RELEASES) / BENDS) / 2, released: hand >= RELEASES };
    if (place < 0) return { at, length, pitch: -place, joined, gesture };
    return { at, length, pitch: strings.at(-string) + fret, string, fret, joined, gesture };
  });
  const joinedAt = new Map(notes.filter(({ joined }) => joined).map((note) => [note.at, note.joined]));
  return notes.map((note) => ({ ...note, joined: joinedAt.get(note.at) ?? "" })); // all of a double stop
}

/** The chord of a number as the reader writes it, and the names of the notes over it. */
function readOver(phrase, over) {
  const { written } = settings;
  const symbol = track.keys[shownKey].written[written][0];
  const [chord, number] = phrases.read[symbol][phrase][over];
  const tonic = tonicIn(track, shownKey, written);
  return { chord, names: [...numbersIn(phrases.names[number])].map((fifths) => noteName(tonic + fifths)) };
}

function show(key) {
  shownKey = key;
  $("phrases-hint").textContent = say("phrases.tab", {
    instrument: wordFor("instruments", settings.tunings[phrases.tuning].instrument),
    tuning: settings.tunings[phrases.tuning].words,
  });
  $("phrases-hint").hidden = isTab();
  places.forEach(showPhrase);
}

/** Whether the neck that is drawn is the one that the phrases are placed on. */
function isTab() {
  return settings.onNeck && settings.tuning === phrases.tuning;
}

function showPhrase(place, phrase) {
  const select = place.querySelector("select");
  const over = Number(select.value || 0);
  select.replaceChildren(
    ...phrases.placed[0][phrase].map((_, n) => {
      const { chord } = readOver(phrase, n);
      return html("option", { value: n, selected: n === over }, n ? chord : say("phrases.as_written", { chord }));
    }),
  );
  const notes = notesOf(phrase, over);
  const { chord, names } = readOver(phrase, over);
  const tab = place.querySelector(".tab");
  const list = place.querySelector(".phrase-notes");
  tab.hidden = !isTab() || !notes.every(({ string }) => string);
  list.hidden = !tab.hidden;
  const bars = barsOf(notes, phrase);
  if (tab.hidden) list.replaceChildren(...inWords(notes, names, bars));
  else tab.replaceChildren(...bars.map((bar, n) => drawn(notes, bar, n === bars.length - 1, chord)));
}

/** The numbers of the bars of a phrase, from 1 on; a pick-up is in bar 0. */
function barsOf(notes, phrase) {
  const first = notes[0].at < 0 ? 0 : 1;
  return Array.from({ length: phrases.bars[phrase] + 1 - first }, (_, n) => first + n);
}

function drawn(notes, bar, isLast, chord) {
  const from = (bar - 1) * barTicks;
  const chords = bar === 1 ? [[from, chord]] : [];
  const words = (said) => say(!said ? "tab.rest" : bar ? "tab.bar" : "phrases.pickup", { bar, places: said });
  const { strings } = settings.tunings[phrases.tuning];
  return tabBar({ from, to: from + barTicks, isLast, number: bar || "", chords, words, strings: strings.length }, notes);
}

/** The names of the notes with bar lines, to see, and their words for a screen reader. */
function inWords(notes, names, bars) {
  const strokes = (bar, named) => {
    const found = new Map();
    notes.forEach(({ at, gesture: { bend } }, n) => {
      if (Math.floor(at / barTicks) + 1 === bar) found.set(at, [...(found.get(at) ?? []), named(names[n], bend)]);
    });
    return [...found.values()];
  };
  const bent = (note, bend) => (bend ? say("phrases.bent", { note }) : note);
  const marked = (note, bend) => note + (bend ? bendMark(bend) : "");
  const seen = bars.map((bar) => strokes(bar, marked).map((found) => found.join("+")).join(" ")).join(" | ");
  const together = (found) => (found.length > 1 ? say("phrases.together", { notes: found.join(", ") }) : found[0]);
  const said = bars.map((bar) => strokes(bar, bent).map(together).join(", ")).join("; ");
  return [html("span", { "aria-hidden": "true" }, seen), html("span", { class: "unseen" }, spoken(said))];
}

/** Sounds a phrase once at the page's tempo, as the solo sounds; the band stops. */
function play(notes) {
  const { stage } = practice;
  if (!stage) return;
  const { band, context } = stage;
  if (stage.playing) $("play").click();
  band.channels.set(PART, band.channels.get(SOLO));
  hush();
  band.setLoudness(SOLO, settings.loudness(SOLO) || 1);
  const { swing } = settingOf(track, 0);
  const perTick = secondsPerTick(track, settings.tempo);
  const ratio = swingRatio(swing, settings.tempo);
  const isEven = (tick) => (4 * tick) % swing.unit === 0; // a part of a triplet stays where it is
  const late = (tick) => (isEven(tick) ? swung({ ...swing, written: 1 }, tick + barTicks, ratio) - barTicks : tick);
  const up = octaveUp();
  const start = context.currentTime + LEAD_SECONDS - perTick * late(notes[0].at);
  for (const note of notes) {
    const at = start + perTick * late(note.at);
    const seconds = Math.max(0.05, start + perTick * late(note.at + note.length) - at);
    const { at: after } = notes.find((other) => other.at > note.at) ?? {};
    const next = notes.find((other) => other.at === after && other.string === note.string);
    const goes = next?.joined === SLIDE && !note.gesture.bend ? next.pitch - note.pitch : 0;
    const gesture = { ...note.gesture, comes: 0, goes, shaken: note.length >= track.beatTicks };
    const velocity = note.joined ? VELOCITY.joined : VELOCITY.stroke;
    band.strike(PART, note.pitch + up, velocity, at, seconds, SOLO, 1, bentCourse(gesture, seconds, track.hand));
    practice.heard?.({ part: PART, at, pitch: note.pitch + up, velocity, tick: note.at, seconds, gesture });
  }
  const { at, length } = notes.at(-1);
  clearTimeout(stage.resting);
  context.resume().catch(() => {});
  stage.resting = setTimeout(() => stage.playing || context.suspend(), 1000 * (perTick * (at + length - notes[0].at) + REST_SECONDS));
}

/** The semitones of whole octaves by which the solo's instrument sounds higher than a guitar. */
function octaveUp() {
  const [note] = partNotes(track, shownKey, SOLO, "round", solosOf(track).at(-1));
  const written = track.tabStrings.at(-note.string) + note.fret;
  return 12 * Math.round((note.pitch - written) / 12);
}

/** Ends the phrase that sounds. */
function hush() {
  const { band } = practice.stage ?? {};
  if (!band?.channels.has(PART)) return;
  band.silence([PART]);
  practice.stage.setMix();
}

places.forEach((place, phrase) => {
  const select = place.querySelector("select");
  const button = place.querySelector("button");
  select.addEventListener("change", () => showPhrase(place, phrase));
  button.setAttribute("aria-describedby", `phrase-${phrase}`);
  button.addEventListener("click", () => play(notesOf(phrase, Number(select.value))));
});
$("play").addEventListener("click", hush);
view.more = show;
show(settings.key);
