// The signs in a bar of the chart: chord symbols over strokes for its beats, a repeat sign, or its text.

import { html, svg } from "../../practice/screen/svg.js";
import { spokenChord } from "../../practice/music/names.js";
import { say } from "../../practice/music/words.js";

const LEAST = 0.55; // of the usual size of chords that stand beside each other

/** The elements of a bar. */
export function barSigns({ text, chords, played }, beats) {
  const otherwise = played ? [html("span", { class: "played" }, say("chart.played", { chords: played }))] : [];
  if (text === "%") return [repeatSign(), ...otherwise];
  const symbols = chords.length ? chords.map(chordSymbol) : [html("span", { class: "chord raw" }, text)];
  return [html("span", { class: "chords" }, ...symbols), ...otherwise, strokes(beats)];
}

function chordSymbol({ root, triad, figures, bass, share, goesOn }) {
  const symbol = html("span", { class: goesOn ? "chord goes-on" : "chord" }, root);
  if (triad) symbol.append(html("span", { class: "triad" }, triad));
  if (figures) symbol.append(html("span", { class: "figures" }, figures));
  if (bass) symbol.append(html("span", { class: "bass" }, `/${bass}`));
  symbol.style.flexGrow = String(share);
  return symbol;
}

/** A stroke for each beat. */
export function strokes(beats) {
  const stroke = () => svg("svg", { viewBox: "0 0 10 10", preserveAspectRatio: "xMinYMid" }, svg("line", { x1: 1, y1: 9, x2: 5, y2: 1 }));
  return html("span", { class: "strokes", "aria-hidden": "true" }, ...Array.from({ length: beats }, stroke));
}

function repeatSign() {
  const dots = [svg("circle", { cx: 7, cy: 8, r: 2.2 }), svg("circle", { cx: 23, cy: 22, r: 2.2 })];
  const slash = svg("path", { d: "M5 25 L21 5 H25 L9 25 Z" });
  return svg("svg", { class: "repeat", viewBox: "0 0 30 30", "aria-hidden": "true" }, slash, ...dots);
}

/** What stands in a bar as a screen reader should say it. */
export function spokenBar({ played, ...bar }) {
  const written = spokenChords(bar);
  return played ? say("chart.played_said", { written, chords: played.split(" ").map(spokenChord).join(", ") }) : written;
}

function spokenChords({ text, chords }) {
  if (text === "%") return say("chart.same");
  const named = chords.filter(({ goesOn }) => !goesOn);
  const names = named.map(({ root, triad, figures, bass }) => spokenChord(root + triad + figures + (bass ? `/${bass}` : "")));
  return names.join(", ") || text;
}

/** Makes the chords of some bars as large as their bars have room for. */
export function fitBars(elements) {
  const chords = elements.map((element) => element.querySelector(".chords")).filter(Boolean);
  for (const each of chords) {
    each.classList.remove("many");
    each.style.setProperty("--fit", "1");
  }
  const fits = chords.map((each) => Math.min(1, each.clientWidth / each.scrollWidth || 1));
  chords.forEach((each, n) => {
    each.style.setProperty("--fit", String(Math.max(LEAST, Math.floor(fits[n] * 100) / 100)));
    each.classList.toggle("many", fits[n] < LEAST);
  });
}
