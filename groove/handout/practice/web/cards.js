// What to play over the chord that sounds and over the one to come.

import { drawKeyboard } from "./keyboard.js";
import { spoken, spokenChord } from "./names.js";
import { drawNeck } from "./neck.js";
import { html } from "./svg.js";

const SCALES_SHOWN = 2;
export const AVOID = "Pass over what is in brackets";

/** The drawing for a chord as the student wants it; null for none. */
export function shapeOf(settings, chord) {
  if (settings.onNeck) return drawNeck(settings.track, settings.shape, chord, settings.fret);
  return settings.shape === "keyboard" ? drawKeyboard(chord) : null;
}

/** The tones of a chord with their degrees, as a list. */
export function toneList(chord) {
  const items = chord.tones.map((tone) =>
    html(
      "li",
      {},
      html("b", {}, ...said(tone.name)),
      " ",
      html("span", { class: "degree" }, ...said(tone.degree)),
    ),
  );
  return html("ul", { class: "tones", "aria-label": `Notes of ${spokenChord(chord.name)}` }, ...items);
}

/** A sign of music for the eye, and its words for the ear. */
function said(text, words = spoken(text)) {
  if (words === text) return [text];
  return [html("span", { "aria-hidden": "true" }, text), html("span", { class: "unseen" }, words)];
}

/** A card for a chord. when: "Now" or "Next". more: what else to say about it. */
export function card(settings, chord, when, more) {
  const shape = shapeOf(settings, chord);
  const title = html(
    "h3",
    {},
    html("span", { class: "when" }, when),
    html("span", { class: "symbol" }, ...said(chord.name, spokenChord(chord.name))),
    html("span", { class: "numeral" }, ...said(chord.guide.numeral)),
  );
  const head = html("div", { class: "card-head" }, title, toneList(chord));
  return html("div", { class: `card ${when.toLowerCase()}` }, head, shape ?? "", html("div", { class: "card-more" }, ...more));
}

/** The plainest things to play over a chord beside its own tones. */
export function scaleLines(chord) {
  return chord.guide.scales.slice(1, 1 + SCALES_SHOWN).map(scaleLine);
}

/** A scale with its notes, and what the brackets round some of them mean. */
export function scaleLine([title, notes, , avoid]) {
  const hint = avoid ? html("span", { class: "avoid" }, ` ${AVOID}`) : "";
  return html("p", { class: "scale" }, html("span", { class: "scale-name" }, ...said(title)), " ", ...said(notes), hint);
}
