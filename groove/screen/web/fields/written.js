// Values of a form file as the text of a field, and back: yes and no, rows, and what is said bar by bar.

const ANSWERS = ["quick_change", "open", "tuning_note"]; // yes or no
const NUMBERS = ["tempo", "choruses", "count_in", "swing_ratio", "seed", "rit", "trade", "tempo_step", "tightness", "a4"];
const ROWS = ["lyrics"]; // a row for each time
const BARS = /^\d+(?:-\d+)?$/;
const PLAYERS = /^(?:all but )?(?:drums|bass|comping|guitar|keys|percussion|riff|melody|solo)(?:, *\w+)*$/;
const ALL = "all"; // of the bars, as the file's true
/** What stands before the colon of a row where a field says something bar by bar, or player by player. */
const NAMED = {
  kicks: BARS,
  stops: BARS,
  pedal: BARS,
  cue: BARS,
  tacet: PLAYERS,
  instrument: PLAYERS,
  melody: /^(?:notes|instrument|from)$/,
};
const LONG = [...ROWS, ...Object.keys(NAMED)];

/** The kind of a field: "number", "choice" where it has a list, "long" for several rows, else "text". */
export function kindOf(name, choices) {
  if (NUMBERS.includes(name)) return "number";
  if (choices) return "choice";
  return LONG.includes(name) ? "long" : "text";
}

/** Whether a field is answered with yes or no. */
export function isAnswer(name) {
  return ANSWERS.includes(name);
}

/** The text of a field for a value of the file; undefined stays. */
export function textOf(name, value) {
  if (value === false && !isAnswer(name) && name !== "turnaround") return "none";
  if (typeof value === "boolean") return String(value);
  if (Array.isArray(value)) return value.join("\n");
  if (value === null || typeof value !== "object") return value;
  return Object.entries(value).map(([key, each]) => `${key}: ${each === true ? ALL : each}`).join("\n");
}

/** The value of the file for the text of a field; null where it is empty. */
export function valueOf(name, text) {
  if (text === null || typeof text !== "string") return text;
  if (name !== "title" && name !== "by" && (text === "true" || text === "false")) return text === "true";
  const rows = text.split("\n").map((row) => row.trim()).filter(Boolean);
  if (ROWS.includes(name)) return rows.length > 1 ? rows : text;
  if (name in NAMED) return named(name, rows) ?? text;
  return text;
}

/** The rows as a table; null where one of them has no name. */
function named(name, rows) {
  const found = {};
  for (const row of rows) {
    const [, key, text] = row.match(/^([^:]+):\s*(.+)$/) ?? [];
    if (!key || !NAMED[name].test(key.trim())) return null;
    found[key.trim()] = name === "tacet" && text === ALL ? true : text;
  }
  return rows.length ? found : null;
}
