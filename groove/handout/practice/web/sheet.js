// The printed sheet: the chart and what to play over each chord, in the key that is set.

import { AVOID, shapeOf } from "./cards.js";
import { html } from "./svg.js";
import { percent } from "./chart_view.js";
import { hasSeveralMeters, homeIn, keyOfPass, passAt, roadOf } from "./road.js";
import { chartLines, chordIn, chordsByBar, guideIn, readerIn, tonicIn } from "./track.js";

/** Writes the sheet into its place. */
export function writeSheet(place, track, settings) {
  const { key, written } = settings;
  const guide = guideIn(track, key, written);
  const different = [];
  track.chords.forEach((_, number) => {
    const chord = chordIn(track, number, key, written);
    different[chord.distinct] ??= chord;
  });
  const names = different.map((chord) => chord.name);
  place.replaceChildren(
    html("h1", {}, track.title),
    html("p", {}, facts(track, settings)),
    track.road ? html("p", {}, roadInWords(track)) : "",
    ...chart(track, (number) => chordIn(track, number, key, written), (bar) => keyWords(track, settings, bar)),
    html("h2", {}, "What to play"),
    html("p", {}, guide.about),
    ...scales(guide.scales),
    html("h2", {}, "Chord by chord"),
    ...different.map((chord) => lesson(settings, chord)),
    html("h2", {}, "From chord to chord"),
    ...guide.changes.map(([from, to, words]) => entry(`${names[from]} to ${names[to]}`, words.join(" "))),
    html("h2", {}, "How to practise"),
    ...guide.plans[planFor(settings)].map(([title, words]) => entry(title, words)),
    ...[...document.querySelectorAll("#caution p, #credits")].map((words) => html("p", { class: "small" }, words.textContent)),
  );
}

function facts(track, settings) {
  const { keys, feel, bars, meter } = track;
  const words = readerIn(track, settings.written);
  const reader = words ? `, written for ${words}` : "";
  const key = `${keys[settings.key].sign} at ${settings.tempo} beats a minute`;
  const inMeter = ` of ${meter.join("/")}`;
  const kind = track.road ? (hasSeveralMeters(track) ? "" : inMeter) : `${inMeter}, ${feel}`;
  return `${bars} bars${kind}. Sounds in ${key}${reader}.`;
}

/** The lines of the road: "Head: A, A, B, A. Solos, 3 times: A, A, B, A." */
function roadInWords(track) {
  const { lines, rounds } = roadOf(track);
  const said = lines.map(({ name, times }, line) => {
    const names = rounds.find((round) => round.line === line).passes.map((pass) => pass.name).join(", ");
    const head = [name, times > 1 ? `${times} times` : ""].filter(Boolean).join(", ");
    return head ? `${head}: ${names}.` : `${names}.`;
  });
  return said.join(" ");
}

/** The sections of a road, each once that has other chords; none where the form goes round. */
function differentPasses(track, byBar, chord) {
  const seen = new Set();
  return (roadOf(track)?.passes ?? []).filter(({ name, first, last }) => {
    const chords = byBar.slice(first, last).map((bar) => bar.map((slot) => `${chord(slot.number).name} ${slot.length}`));
    const words = `${name} ${JSON.stringify(chords)}`;
    return !seen.has(words) && seen.add(words);
  });
}

/** The instrument whose practice plan is printed: one with strings, one with keys, or neither. */
function planFor(settings) {
  if (settings.onNeck) return "guitar";
  return settings.shape === "keyboard" ? "keyboard" : "none";
}

/** A run-in heading, and words after it. */
function entry(title, words) {
  return html("p", { class: "entry" }, html("b", {}, title), `: ${words}`);
}

function scales(rows) {
  return rows.map(([title, notes, words, avoid]) => entry(title, `${notes}. ${avoid ? `${AVOID}. ` : ""}${words}`));
}

/** The key of a section of a road, where it isn't the one that the sheet sounds in. */
function keyWords(track, { key, written }, bar) {
  const pass = passAt(track, bar);
  const home = homeIn(track, key, bar);
  const isOther = pass && (home !== key || pass.key !== 0 || pass.minor !== track.minor);
  return isOther ? `, ${keyOfPass(track, pass, tonicIn(track, home, written))}` : "";
}

function chart(track, chord, keyOf) {
  const byBar = chordsByBar(track);
  const bar = ({ bar: number, share }, n) => {
    const first = n === 0 ? html("span", { class: "number" }, String(number)) : "";
    const box = html("div", { class: "sheet-bar" }, first, ...byBar[number - 1].map(name));
    box.style.flexBasis = percent(share);
    return box;
  };
  const name = (slot) => {
    const text = html("span", { class: "sheet-chord" }, chord(slot.number).name);
    text.style.flexGrow = String(slot.length);
    return text;
  };
  return chartLines(track, differentPasses(track, byBar, chord)).map((line) => {
    const names = line.filter(({ section }) => section).map(({ section, bar: number }) => section + keyOf(number - 1));
    const head = names.length ? html("h3", {}, names.join(", ")) : "";
    return html("div", { class: "sheet-line" }, head, html("div", { class: "sheet-bars" }, ...line.map(bar)));
  });
}

function lesson(settings, chord) {
  const shape = shapeOf(settings, chord, settings.key);
  const tones = chord.tones.map((tone) => `${tone.name} (${tone.degree})`).join("  ");
  return html(
    "div",
    { class: "lesson" },
    html(
      "div",
      {},
      html("h3", {}, chord.name, " ", html("span", { class: "numeral" }, chord.guide.numeral)),
      html("p", {}, tones),
      shape ?? "",
    ),
    html("div", {}, html("p", { class: "entry" }, chord.guide.words), ...scales(chord.guide.scales.slice(1))),
  );
}
