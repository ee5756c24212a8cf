// The teacher's phrases in the key that sounds, over the chord that is chosen: as tablature where their neck
// is drawn, else as note names; and how they sound. The entry of pages that have some.

import { practice } from "./main.js";
import { lineNotes, playedLine } from "./music/lines.js";
import { noteName } from "./music/names.js";
import { settingOf } from "./music/road.js";
import { numbersIn } from "./music/streams.js";
import { partNotes, SOLO, solosOf, tonicIn } from "./music/track.js";
import { say, wordFor } from "./music/words.js";
import { barsOf, lineInWords, lineTab } from "./screen/line_view.js";
import { html } from "./screen/svg.js";

const { track, settings, view } = practice;
const { phrases } = track;
const { barTicks } = settingOf(track, 0);
const $ = (id) => document.getElementById(id);
const places = [...document.querySelectorAll(".phrase")];
let shownKey = settings.key;

/** The notes of a phrase over the chord of a number, in the key that is shown. */
function notesOf(phrase, over) {
  const [low, tab] = phrases.placed[shownKey][phrase][over];
  return lineNotes(phrases.times[phrase], phrases.tabs[tab], low, settings.tunings[phrases.tuning].strings);
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
  const bars = barsOf(notes, phrases.bars[phrase]);
  if (tab.hidden) list.replaceChildren(...lineInWords(notes, names, bars, barTicks));
  else tab.replaceChildren(...lineTab(notes, { bars, barTicks, chord, strings: settings.tunings[phrases.tuning].strings.length }));
}

/** Sounds a phrase once at the page's tempo, as the solo sounds; the band stops. */
function play(notes) {
  const { stage, audition } = practice;
  if (!stage) return;
  if (stage.playing) $("play").click();
  audition.play(playedLine(notes, track.beatTicks, octaveUp()), { part: SOLO });
}

/** The semitones of whole octaves by which the solo's instrument sounds higher than a guitar. */
function octaveUp() {
  const [note] = partNotes(track, shownKey, SOLO, "round", solosOf(track).at(-1));
  const written = track.tabStrings.at(-note.string) + note.fret;
  return 12 * Math.round((note.pitch - written) / 12);
}

places.forEach((place, phrase) => {
  const select = place.querySelector("select");
  const button = place.querySelector("button");
  select.addEventListener("change", () => showPhrase(place, phrase));
  button.setAttribute("aria-describedby", `phrase-${phrase}`);
  button.addEventListener("click", () => play(notesOf(phrase, Number(select.value))));
});
view.more = show;
show(settings.key);
