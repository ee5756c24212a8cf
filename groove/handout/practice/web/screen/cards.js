// Cards of a chord: its tones, its drawing and what to play over it.

import { drawKeyboard } from "./keyboard.js";
import { spoken, spokenChord } from "../music/names.js";
import { drawNeck } from "./neck.js";
import { KINDS, shownOver, TONES } from "../music/shown.js";
import { drawStaff } from "./staff.js";
import { html, svg, toneMark } from "./svg.js";
import { say, wordFor } from "../music/words.js";

const SCALES_SHOWN = 2;

/** The drawing of a chord in a key on the instrument that is set; null for none. */
export function shapeOf(settings, chord, key) {
  if (settings.shape === "off") return null;
  const shown = shownOver(settings.track, settings.scale, chord);
  const drawing = drawn(settings, chord, key, shown);
  return html("figure", {}, drawing, shown.title ? html("figcaption", {}, ...said(shown.title)) : "");
}

function drawn(settings, chord, key, shown) {
  const { track, shape, neck, leftHanded, written } = settings;
  if (settings.onNeck) return drawNeck(neck, chord, shown, settings.position(key), leftHanded);
  return shape === "staff" ? drawStaff(track, track.clefs[written], chord, shown) : drawKeyboard(chord, shown);
}

/** The legend of what is drawn. */
export function legend({ shape, scale }) {
  const kinds = scale === TONES ? KINDS.slice(0, 2) : KINDS;
  if (shape === "off") return [];
  if (shape === "staff") {
    return kinds.filter((kind) => kind !== "root").map((kind) => html("span", {}, say(`shown.staff.${kind}`)));
  }
  return kinds.map((kind) => {
    const mark = svg("svg", { viewBox: "-15 -15 30 30", "aria-hidden": "true" }, toneMark(0, 0, 12, { kind, degree: "" }));
    return html("span", {}, mark, " ", say(`shown.${kind}`));
  });
}

/** The tones of a chord with their degrees, as a list. */
export function toneList(chord) {
  const items = chord.tones.map((tone) =>
    html(
      "li",
      {},
      html("b", {}, ...said(tone.name)),
      html("span", { class: "unseen" }, ","), // or a flat degree is heard as a flat note
      " ",
      html("span", { class: "degree" }, ...said(tone.degree, wordFor("speech.degrees", tone.degree))),
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
  const heard = html("div", { class: "hear-buttons" }, hearButton("drawn", chord), hearButton("arpeggio", chord));
  const head = html("div", { class: "card-head" }, title, toneList(chord), heard);
  return html("div", { class: `card ${when}`, "data-chord": when }, head, shape ?? "", html("div", { class: "card-more" }, ...more));
}

/** The first scales to play over a chord, beside its own tones. */
export function scaleLines(chord) {
  return chord.guide.scales.slice(1, 1 + SCALES_SHOWN).map((scale) => {
    const line = scaleLine(scale);
    line.classList.add("with-sound");
    line.append(hearButton(scale[0], chord));
    return line;
  });
}

/** A button to hear something over a chord: "drawn", "arpeggio" or the title of a scale. */
function hearButton(what, chord) {
  const isTitle = !["drawn", "arpeggio"].includes(what);
  const words = say(isTitle ? "hear.play_it" : `hear.${what}_over`, { what: spoken(what), chord: spokenChord(chord.name) });
  const sign = html("span", { class: "sound-sign", "aria-hidden": "true" });
  const label = isTitle ? "" : html("span", { "aria-hidden": "true" }, say(`hear.${what}`));
  return html("button", { type: "button", class: "hear-button", "data-hear": what, "data-words": isTitle ? what : words, "aria-label": words, "aria-pressed": "false" }, sign, label);
}

/** What a button of a card lets hear, and in which card; null for what is no such button. */
export function hearing(element) {
  return element.dataset.hear ? `${element.closest("[data-chord]").dataset.chord} ${element.dataset.hear}` : null;
}

/** A scale with its notes, and a hint if some stand in brackets. */
export function scaleLine([title, notes, , avoid]) {
  const hint = avoid ? html("span", { class: "avoid" }, ` ${say("hands.avoid")}`) : "";
  return html("p", { class: "scale" }, html("span", { class: "scale-name" }, ...said(title)), " ", ...said(notes), hint);
}
