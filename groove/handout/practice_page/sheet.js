// What is printed: the chart and what to play over each chord, in the key that is set.

import { shapeOf } from "./cards.js";
import { withSigns } from "./names.js";
import { html } from "./svg.js";
import { chordIn, chordsByBar, guideIn } from "./track.js";

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
    chartTable(track, (number) => chordIn(track, number, key, written)),
    html("h2", {}, "What to play"),
    html("p", {}, guide.about),
    ...scales(guide.scales),
    html("h2", {}, "Chord by chord"),
    html("div", { class: "lessons" }, ...different.map((chord) => lesson(settings, chord))),
    html("h2", {}, "From chord to chord"),
    ...guide.changes.map(([from, to, words]) => entry(`${names[from]} to ${names[to]}`, words.join(" "))),
    html("h2", {}, "How to practise"),
    ...guide.plan.map(([title, words]) => entry(title, words)),
    html("p", { class: "small" }, document.getElementById("caution").textContent),
    html("p", { class: "small" }, document.getElementById("credits").textContent),
  );
}

function facts(track, settings) {
  const { keys, feel } = track;
  const reader = settings.written === "C" ? "" : `, written for ${withSigns(settings.written)} instruments`;
  return `Sounds in ${withSigns(keys[settings.key].name)} at ${settings.tempo} beats a minute, ${feel}${reader}`;
}

/** A heading in the line, and words after it. */
function entry(title, words) {
  return html("p", { class: "entry" }, html("b", {}, title), `: ${words}`);
}

function scales(rows) {
  return rows.map(([title, notes, words]) => entry(title, `${notes}. ${words}`));
}

function chartTable(track, chord) {
  const cells = chordsByBar(track).map((slots, index) =>
    html("td", {}, html("span", { class: "number" }, String(index + 1)), ` ${slots.map((slot) => chord(slot.number).name).join("  ")}`),
  );
  const rows = [];
  for (let first = 0; first < cells.length; first += 4) rows.push(html("tr", {}, ...cells.slice(first, first + 4)));
  return html("table", { class: "sheet-chart" }, html("tbody", {}, ...rows));
}

function lesson(settings, chord) {
  const shape = shapeOf(settings, chord);
  const tones = chord.tones.map((tone) => `${tone.name} (${tone.degree})`).join("  ");
  return html(
    "div",
    { class: "lesson" },
    html("h3", {}, `${chord.name}  ${chord.guide.numeral}`),
    html("p", {}, tones),
    html("p", {}, chord.guide.words),
    shape ?? "",
    ...scales(chord.guide.scales.slice(1)),
  );
}
