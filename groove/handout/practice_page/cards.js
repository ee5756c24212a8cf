// What to play over the chord that sounds and over the one to come.

import { drawKeyboard } from "./keyboard.js";
import { spoken } from "./names.js";
import { drawNeck, NECKS } from "./neck.js";
import { html } from "./svg.js";

/** The drawing for a chord as the student wants it; null for none. */
export function shapeOf(settings, chord) {
  if (settings.shape in NECKS) return drawNeck(settings.shape, chord, settings.fret);
  return settings.shape === "keyboard" ? drawKeyboard(chord) : null;
}

/** The tones of a chord with their degrees, as a list. */
export function toneList(chord) {
  const items = chord.tones.map((tone) =>
    html("li", {}, html("b", {}, tone.name), " ", html("span", { class: "degree" }, tone.degree)),
  );
  return html("ul", { class: "tones", "aria-label": `Notes of ${spoken(chord.name)}` }, ...items);
}

/** A card for a chord. when: "Now" or "Next". */
export function card(settings, chord, when) {
  const scale = html(
    "p",
    { class: "scale" },
    html("span", { class: "scale-name" }, `${chord.tones[0].name} ${chord.scale.name}`),
    ` ${chord.scale.notes.join(" ")}`,
  );
  const shape = shapeOf(settings, chord);
  const title = html("h3", {}, html("span", { class: "when" }, when), " ", html("span", { class: "symbol" }, chord.name));
  const body = html("div", { class: "card-text" }, title, toneList(chord), scale);
  return html("article", { class: `card ${when.toLowerCase()}` }, body, ...(shape ? [shape] : []));
}
