// What is printed: the chart and what to play over each chord, in the key that is set.

import { shapeOf } from "./cards.js";
import { withSigns } from "./names.js";
import { html } from "./svg.js";
import { chordIn, chordsByBar } from "./track.js";

/** Writes the sheet into its place. */
export function writeSheet(place, track, settings, raised, through) {
  const chord = (number) => chordIn(track, number, settings.key, raised);
  const names = new Map();
  track.chords.forEach((_, number) => {
    const found = chord(number);
    if (!names.has(found.name)) names.set(found.name, found);
  });
  place.replaceChildren(
    html("h1", {}, track.title),
    html("p", {}, facts(track, settings)),
    chartTable(track, chord),
    html("h2", {}, "What to play"),
    html("p", {}, through),
    html("div", { class: "lessons" }, ...[...names.values()].map((found) => lesson(settings, found))),
    html("p", { class: "small" }, document.getElementById("credits").textContent),
  );
}

function facts(track, settings) {
  const written = settings.written === "C" ? "" : `, written for ${withSigns(settings.written)} instruments`;
  return `Sounds in ${withSigns(track.keys[settings.key].name)} at ${settings.tempo} beats a minute, ${track.feel}${written}`;
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
    html("h3", {}, chord.name),
    html("p", {}, tones),
    html("p", {}, `${chord.tones[0].name} ${chord.scale.name}: ${chord.scale.notes.join(" ")}`),
    ...(shape ? [shape] : []),
  );
}
