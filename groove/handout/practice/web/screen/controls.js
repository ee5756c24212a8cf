// The controls of the page: they change the settings and show them.

import { SAID_ALOUD } from "../music/listening.js";
import { legend } from "./cards.js";
import { lengthInWords, outline } from "../music/outline.js";
import { FIVE, LOUDEST, TOLD, USUAL } from "../music/settings.js";
import { scaleChoices } from "../music/shown.js";
import { html } from "./svg.js";
import { solosOf } from "../music/track.js";
import { say, sayMany, wordFor } from "../music/words.js";

const TAPS_FORGOTTEN_MS = 2000;
const TAPS_KEPT = 5;

const PERCENT = 100;
const AT_FRET = "fret"; // the choice of a position by its fret

const $ = (id) => document.getElementById(id);

/** Binds every control to the settings. changed: called with the kind of change. */
export function bindControls(settings, changed) {
  const { track } = settings;
  track.keys.forEach((key, number) => $("key").append(html("option", { value: number }, key.sign)));
  $("written").append(...track.readers.map(([value, words]) => html("option", { value }, words)));
  $("next-key").append(...track.cycles.map(([value, words]) => html("option", { value }, words)));
  const named = (shape) => html("option", { value: shape }, wordFor("instruments", shape));
  $("shape").append(...settings.shapes.map(named));
  $("told").append(...TOLD.map((value) => html("option", { value }, say(`rounds.told_choices.${value}`))));
  for (const id of ["tempo-slider", "tempo"]) [$(id).min, $(id).max] = track.tempi;
  for (const id of ["from", "to"]) bindBar($(id), track.bars);
  $("whole-form").textContent = track.road ? say("chart.whole_road") : sayMany("chart.whole_form", track.bars);
  for (const part of settings.parts) $("faders").append(fader(settings, part, changed));

  for (const what of solosOf(track)) $("solo").append(html("option", { value: what }, say(`players.solos.${what}`)));
  $("solo-line").hidden = solosOf(track).length === 1;

  const on = (id, event, set, kind) =>
    $(id).addEventListener(event, () => {
      set($(id));
      changed(kind);
    });
  on("key", "change", (field) => (settings.key = Number(field.value)), "key");
  on("written", "change", (field) => (settings.written = field.value), "view");
  on("shape", "change", (field) => settings.setShape(field.value), "view");
  on("strings", "change", (field) => (settings.tuning = field.value), "view");
  on("left-handed", "change", (field) => (settings.leftHanded = field.checked), "view");
  on("scale", "change", (field) => (settings.scale = field.value), "view");
  on("place", "change", (field) => setPlace(settings, field.value), "view");
  on("fret", "change", (field) => (settings.fret = clamped(field, null)), "view");
  on("tempo-slider", "input", (field) => settings.setTempo(field.valueAsNumber), "tempo");
  on("tempo", "change", (field) => settings.setTempo(field.valueAsNumber), "tempo");
  on("from", "change", (field) => settings.setLoop(clamped(field, settings.from), Math.max(settings.to, clamped(field, settings.from))), "bars");
  on("to", "change", (field) => settings.setLoop(settings.from, clamped(field, settings.to)), "bars"); // a smaller one is the first
  for (const id of ["whole-form", "all-bars"]) on(id, "click", () => settings.setLoop(1, track.bars), "whole");
  $("all-bars").addEventListener("click", () => $("play").focus({ preventScroll: true })); // it is gone itself
  on("solo", "change", (field) => (settings.solo = field.value), "solo");
  on("told", "change", (field) => (settings.told = field.value), "plan");
  for (const what of SAID_ALOUD) {
    on(`aloud-${what}`, "change", (field) => settings.aloud[field.checked ? "add" : "delete"](what), "aloud");
  }
  on("faster", "change", (field) => settings.setFaster(field.valueAsNumber), "plan");
  on("next-key", "change", (field) => (settings.nextKey = field.value), "plan");
  on("for-ever", "change", (field) => (settings.forEver = field.checked), "plan");
  for (const id of ["rounds", "stop-after"]) {
    on(id, "change", (field) => (settings.rounds = clamped(field, settings.rounds)), "plan");
  }
  on("count-in", "change", (field) => (settings.countIn = field.checked), "plan");
  on("tuning-note", "change", (field) => (settings.tuningNote = field.checked), "plan");
  $("tuning-line").hidden = track.tuningNote === null;
  for (const button of document.querySelectorAll("button.step")) {
    button.addEventListener("click", () => {
      settings.setTempo(settings.tempo + Number(button.dataset.step));
      changed("tempo");
    });
  }
  bindTapping(settings, changed);
}

/** A field for the number of a bar: what stands in it is chosen when it gets the focus, so that typing replaces it. */
function bindBar(field, bars) {
  let isNew = false;
  field.max = bars;
  field.addEventListener("focus", () => {
    isNew = true;
    field.select();
  });
  field.addEventListener("click", () => {
    if (isNew) setTimeout(() => field.select()); // after the press, which puts a cursor there
    isNew = false;
  });
  field.addEventListener("blur", () => (isNew = false));
}

/** One of the five positions, that of one hand for all chords, or the fret that the hand is at. */
function setPlace(settings, place) {
  if (place === AT_FRET) settings.fret = settings.position(settings.key);
  else Object.assign(settings, { place, fret: null });
}

/** The choices of tuning, scale and position, as they are named in the key that is set. */
function showChoices(settings) {
  const { track, key, written } = settings;
  const tunings = settings.tuningsOf(settings.shape).map((name) => [name, settings.tunings[name].words]);
  choose("strings", tunings, settings.tuning);
  for (const line of document.querySelectorAll(".on-neck")) line.hidden = !settings.onNeck;
  $("tuning-choice").hidden = tunings.length < 2;
  choose("scale", scaleChoices(track, key, written), settings.scale);
  if (!settings.onNeck) return;
  const named = (place, words) => [place, say(words, { number: place, fret: settings.positionAt(place, key) })];
  const five = FIVE.map((place, n) => named(place, n ? "shown.position" : "shown.home"));
  const places = [named(USUAL, "shown.usual"), ...(settings.neck.five ? five : []), [AT_FRET, say("shown.at_fret")]];
  const place = settings.neck.five ? settings.place : USUAL;
  choose("place", places, settings.fret === null ? place : AT_FRET);
}

/** Writes the options of a choice, unless they stand there already, and chooses one. */
function choose(id, options, value) {
  const asked = JSON.stringify(options);
  if ($(id).dataset.options !== asked) {
    $(id).dataset.options = asked;
    $(id).replaceChildren(...options.map(([name, words]) => html("option", { value: name }, words)));
  }
  $(id).value = value;
}

/** A number field's value within its own limits; `before` if it holds no number. */
function clamped(field, before) {
  const value = Math.round(field.valueAsNumber);
  if (!Number.isFinite(value)) return before;
  return Math.max(Number(field.min), Math.min(Number(field.max), value));
}

function fader(settings, part, changed) {
  const slider = html("input", { type: "range", min: 0, max: PERCENT * LOUDEST, step: 5, "aria-label": say("players.volume", { part: wordFor("parts", part) }) });
  const silent = html("input", { type: "checkbox" });
  const name = html("label", { class: "check" }, silent, ` ${wordFor("parts", part)}`);
  slider.addEventListener("input", () => {
    settings.volume[part] = slider.valueAsNumber / PERCENT;
    changed("mix");
  });
  silent.addEventListener("change", () => {
    settings.muted[silent.checked ? "delete" : "add"](part);
    changed("mix");
  });
  const line = html("div", { class: "fader" }, name, slider);
  line.dataset.part = part;
  return line;
}

/** Sets the tempo of the last taps. */
function bindTapping(settings, changed) {
  let taps = [];
  $("tap").addEventListener("click", (event) => {
    const now = event.timeStamp;
    if (taps.length && now - taps.at(-1) > TAPS_FORGOTTEN_MS) taps = [];
    taps = [...taps, now].slice(-TAPS_KEPT);
    if (taps.length < 2) return;
    settings.setTempo(Math.round((60000 * (taps.length - 1)) / (taps.at(-1) - taps[0])));
    changed("tempo");
  });
}

/** Makes every control show the settings. */
export function showSettings(settings) {
  const values = {
    key: settings.key,
    written: settings.written,
    shape: settings.shape,
    fret: settings.onNeck ? settings.position(settings.key) : "",
    "tempo-slider": settings.tempo,
    tempo: settings.tempo,
    from: settings.from,
    to: settings.to,
    faster: settings.faster,
    "next-key": settings.nextKey,
    told: settings.told,
    solo: settings.solo,
    rounds: settings.rounds,
    "stop-after": settings.rounds,
  };
  for (const [id, value] of Object.entries(values)) $(id).value = value;
  $("tempo-slider").setAttribute("aria-valuetext", say("play.tempo_value", { tempo: settings.tempo }));
  $("for-ever").checked = settings.forEver;
  $("count-in").checked = settings.countIn;
  $("tuning-note").checked = settings.tuningNote;
  $("stop-line").hidden = settings.forEver;
  $("rounds-line").hidden = !settings.forEver; // a file has as many as are played
  $("take-about").textContent = aboutFile(settings);
  showStretch(settings);
  showChoices(settings);
  $("clef-hint").hidden = settings.shape === "staff" || settings.track.clefs[settings.written] === "treble";
  for (const line of document.querySelectorAll(".drawn")) line.hidden = settings.shape === "off";
  $("left-handed").checked = settings.leftHanded;
  for (const what of SAID_ALOUD) $(`aloud-${what}`).checked = settings.aloud.has(what);
  $("legend").replaceChildren(...legend(settings));
  for (const line of document.querySelectorAll(".fader")) {
    const { part } = line.dataset;
    line.hidden = !settings.plays(part);
    line.querySelector("[type=checkbox]").checked = !settings.muted.has(part);
    const slider = line.querySelector("[type=range]");
    slider.value = PERCENT * settings.volume[part];
    slider.setAttribute("aria-valuetext", say("players.percent", { percent: Math.round(slider.valueAsNumber) }));
  }
}

/** Shows the button that goes back from some bars to all of them, while not all are practised. */
function showStretch({ from, to, wholeForm }) {
  const bars = say(from === to ? "play.bar" : "play.bars", { bar: from, from, to });
  $("all-bars").hidden = wholeForm;
  $("all-bars").textContent = say("play.back", { bars });
  $("all-bars").setAttribute("aria-label", say("play.back_said", { bars }));
  $("count").classList.toggle("in-part", !wholeForm);
}

/** The contents of a download in words: "4 rounds, 1:52, from A at 116 to F♯ at 128". */
function aboutFile(settings) {
  const { seconds, first, last } = outline(settings);
  const name = ({ key }) => settings.track.keys[key].sign;
  const way = { key: name(first), tempo: first.tempo, last_key: name(last), last_tempo: last.tempo };
  const isSame = first.key === last.key && first.tempo === last.tempo;
  return say(settings.wholeForm ? "file.about" : "file.about_bars", {
    rounds: sayMany("file.rounds", settings.rounds),
    from: settings.from,
    to: settings.to,
    length: lengthInWords(seconds),
    way: say(isSame ? "file.same" : "file.changes", way),
  });
}
