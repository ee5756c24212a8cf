// The printed sheet: the chart and what to play over each chord, in the key that is set.

import { legend, shapeOf } from "./cards.js";
import { html } from "./svg.js";
import { stepsOf, stepTitle } from "./practise.js";
import { percent } from "./chart_fit.js";
import { hasSeveralMeters, homeIn, keyOfPass, passAt, roadOf } from "../music/road.js";
import { chartLines, chordIn, chordsByBar, guideIn, readerIn, tonicIn } from "../music/track.js";
import { say, wordFor } from "../music/words.js";

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
    ...copied(".teacher"),
    html("p", {}, facts(track, settings)),
    track.road ? html("p", {}, roadInWords(track)) : "",
    ...chart(track, (number) => chordIn(track, number, key, written), (bar) => keyWords(track, settings, bar)),
    ...copied("#stand .own"),
    ...copied("#remarks > *"),
    html("h2", {}, say("print.play")),
    ...copied("#hands .own"),
    html("p", {}, guide.about),
    ...scales(guide.scales),
    html("h2", {}, say("print.chords")),
    html("p", { class: "legend" }, ...legend(settings)),
    ...different.map((chord) => lesson(settings, chord)),
    html("h2", {}, say("print.changes")),
    ...guide.changes.map(([from, to, words]) => entry(say("print.change", { chord: names[from], next: names[to] }), words.join(" "))),
    html("h2", {}, say("practise.title")),
    ...copied("#practise .own"),
    html("p", {}, guide.session),
    ...stepsOf(settings).map((step) => {
      const [, words, , listen] = step;
      return entry(stepTitle(step), listen ? `${words} ${say("session.listen")} ${listen}` : words);
    }),
    guide.ladder.length ? entry(say("practise.ladder"), guide.ladder.join(" · ")) : "",
    ...track.tempoWords.map((words) => html("p", {}, words)),
    ...copied(".invite"),
    ...copied("#caution p, #credits", "small"),
  );
}

/** What stands on the screen too: each element with its text. */
function copied(place, kind = null) {
  const found = [...document.querySelectorAll(`#screen :is(${place})`)];
  return found.map((words) => html(words.tagName, { class: kind ?? (words.className || null) }, words.textContent));
}

function facts(track, settings) {
  const { keys, feel, bars, meter } = track;
  const reader = readerIn(track, settings.written);
  const size = track.road ? (hasSeveralMeters(track) ? "changing" : "road") : "round";
  const key = { key: keys[settings.key].sign, tempo: settings.tempo, reader };
  return [
    say(`print.${size}`, { bars, meter: meter.join("/"), feel: wordFor("feels", feel) }),
    say(reader ? "print.sounds_for" : "print.sounds", key),
  ].join(" ");
}

/** The lines of the road: "Head: A, A, B, A. Solos, 3 times: A, A, B, A." */
function roadInWords(track) {
  const { lines, rounds } = roadOf(track);
  const said = lines.map(({ name, times }, line) => {
    const sections = rounds.find((round) => round.line === line).passes.map((pass) => pass.name).join(", ");
    const sentence = `${name ? "line" : "sections"}${times > 1 ? "_times" : ""}`;
    return say(`print.${sentence}`, { line: name, times, sections });
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

/** A run-in heading, and words after it. */
function entry(title, words) {
  return html("p", { class: "entry" }, html("b", {}, title), `: ${words}`);
}

function scales(rows) {
  return rows.map(([title, notes, words, avoid]) => entry(title, `${notes}. ${avoid ? `${say("hands.avoid")}. ` : ""}${words}`));
}

/** The key of a section of a road, empty where it is the one that the sheet sounds in. */
function keyWords(track, { key, written }, bar) {
  const pass = passAt(track, bar);
  const home = homeIn(track, key, bar);
  const isOther = pass && (home !== key || pass.key !== 0 || pass.minor !== track.minor);
  return isOther ? keyOfPass(track, pass, tonicIn(track, home, written)) : "";
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
    const names = line.filter(({ section }) => section).map(({ section, bar: number }) => {
      const key = keyOf(number - 1);
      return key ? say("chart.section_in", { section, key }) : section;
    });
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
