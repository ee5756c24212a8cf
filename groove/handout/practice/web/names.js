// Note names on the line of fifths: ... B♭ F C G D A E B F♯ ..., C is 0. Transposing is adding,
// and the spelling follows by itself.

const LETTERS = "FCGDAEB";

/** The name of a place on the line of fifths: "B♭". */
export function noteName(fifths) {
  const letter = LETTERS[(((fifths + 1) % 7) + 7) % 7];
  const sharps = Math.floor((fifths + 1) / 7);
  return letter + (sharps > 0 ? "♯".repeat(sharps) : "♭".repeat(-sharps));
}

/** Semitones above C, 0 to 11. */
export function pitchClass(fifths) {
  return (((fifths * 7) % 12) + 12) % 12;
}

const SAID = [
  [/♯/g, " sharp "],
  [/♭/g, " flat "],
  [/°/g, " diminished "],
  [/\+/g, " augmented "],
];
const SAID_IN_CHORDS = [
  [/N\.C\./g, " no chord "],
  [/~/g, " early "],
  [/\*/g, " root alone "],
  [/\/(?=[A-G])/g, " over "],
  [/maj(?!or)/g, " major "],
  [/sus/g, " suspended "],
  [/alt/g, " altered "],
  [/add/g, " add "],
  [/m(?![a-z])/g, " minor "],
];

/** Text as a screen reader should say it: "B flat". */
export function spoken(text) {
  return replaced(text, SAID);
}

/** A chord as a screen reader should say it: "E flat minor 7 flat 5". */
export function spokenChord(name) {
  return replaced(replaced(name, SAID_IN_CHORDS), SAID);
}

function replaced(text, table) {
  const words = table.reduce((done, [sign, word]) => done.replace(sign, word), text);
  return words.replace(/[()]/g, " ").replace(/\s+/g, " ").replace(/ ,/g, ",").trim();
}
