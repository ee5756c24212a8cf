// Cards of a chord: its tones, its drawing and what to play over it.

import { drawKeyboard } from "./keyboard.js";
import { spoken, spokenChord } from "./names.js";
import { drawNeck } from "./neck.js";
import { html } from "./svg.js";
import { say } from "./words.js";

const SCALES_SHOWN = 2;

/** The drawing of a chord in a key on the instrument that is set; null for none. */
export function shapeOf(settings, chord, key) {
  if (settings.onNeck) return drawNeck(settings.track, settings.shape, chord, settings.position(key));
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
  return html("ul", { class: "tones", "aria-label": say("hands.notes_of", { chord: spokenChord(chord.name) }) }, ...items);
}

/** A sign of music to see, and its words for a screen reader. */
function said(text, words = spoken(text)) {
  if (words === text) return [text];
  return [html("span", { "aria-hidden": "true" }, text), html("span", { class: "unseen" }, words)];
}

/** A card for a chord in a key. when: "now" or "next". more: elements that stand below. */
export function card(settings, chord, key, when, more) {
  const shape = shapeOf(settings, chord, key);
  const title = html(
    "h3",
    {},
    html("span", { class: "when" }, say(`hands.${when}`)),
    html("span", { class: "symbol" }, ...said(chord.name, spokenChord(chord.name))),
    html("span", { class: "numeral" }, ...said(chord.guide.numeral)),
  );
  const head = html("div", { class: "card-head" }, title, toneList(chord));
  return html("div", { class: `card ${when}` }, head, shape ?? "", html("div", { class: "card-more" }, ...more));
}

/** The first scales to play over a chord, beside its own tones. */
export function scaleLines(chord) {
  return chord.guide.scales.slice(1, 1 + SCALES_SHOWN).map(scaleLine);
}

/** A scale with its notes, and a hint if some stand in brackets. */
export function scaleLine([title, notes, , avoid]) {
  const hint = avoid ? html("span", { class: "avoid" }, ` ${say("hands.avoid")}`) : "";
  return html("p", { class: "scale" }, html("span", { class: "scale-name" }, ...said(title)), " ", ...said(notes), hint);
}
