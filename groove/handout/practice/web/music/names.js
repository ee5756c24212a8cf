// Note names on the line of fifths: ... B♭ F C G D A E B F♯ ..., C is 0. Transposing is adding,
// and the spelling follows by itself.

import { wordsAt } from "./words.js";

const LETTERS = "FCGDAEB";

/** The name of a place on the line of fifths in the page's language: "B♭". */
export function noteName(fifths) {
  return nameIn("notes", fifths);
}

/** The same as the root or the bass of a chord symbol, which a language may write otherwise. */
export function rootName(fifths) {
  return nameIn("roots", fifths);
}

function nameIn(table, fifths) {
  const names = wordsAt(table); // C in the middle
  return names[fifths + (names.length - 1) / 2];
}

/** A note's letter and its sharps, flats below 0, in every language. */
export function letterOf(fifths) {
  return { letter: LETTERS[(((fifths + 1) % 7) + 7) % 7], sharps: Math.floor((fifths + 1) / 7) };
}

/** The name of a note as programs read it, in every language: "Bb". */
export function plainName(fifths) {
  const { letter, sharps } = letterOf(fifths);
  return letter + (sharps > 0 ? "#".repeat(sharps) : "b".repeat(-sharps));
}

/** Semitones above C, 0 to 11. */
export function pitchClass(fifths) {
  return (((fifths * 7) % 12) + 12) % 12;
}

/** Text as a screen reader should say it: "B flat". */
export function spoken(text) {
  return replaced(text, "speech.signs");
}

/** A chord as a screen reader should say it: "E flat minor 7 flat 5". */
export function spokenChord(name) {
  return spoken(replaced(name, "speech.chord_signs"));
}

function replaced(text, place) {
  const words = new Map(wordsAt(place));
  const signs = new RegExp([...words.keys()].map(asSign).join("|"), "gu");
  return text.replace(signs, (sign) => ` ${words.get(sign)} `).replace(/[()]/g, " ").replace(/\s+/g, " ").replace(/ ,/g, ",").trim();
}

/** The pattern of a sign: of letters where no word goes on, the slash before a bass only. */
function asSign(sign) {
  const after = sign === "/" ? "(?=\\p{Lu})" : /\p{L}$/u.test(sign) ? "(?!\\p{Ll})" : "";
  return sign.replace(/[\\^$.*+?()[\]{}|/]/g, "\\$&") + after;
}
