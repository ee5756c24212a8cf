// The players who are silent in a whole form, as its file says it: "drums, bass", "all but bass".

const PLAYERS = ["drums", "bass", "comping", "guitar", "keys", "percussion", "riff", "melody", "solo"];
const BUT = "all but ";

/** The silent players of a field; null where it says so bar by bar, or in a way that can't be read. */
export function silentIn(value) {
  if (value === undefined || value === false || value === "none") return new Set();
  if (typeof value !== "string") return null;
  const text = value.trim().toLowerCase();
  const named = (words) => words.split(",").map((word) => word.trim());
  if (text === "all") return new Set(PLAYERS);
  const asked = named(text.startsWith(BUT) ? text.slice(BUT.length) : text);
  if (!asked.every((player) => PLAYERS.includes(player))) return null;
  if (text.startsWith(BUT)) return new Set(PLAYERS.filter((player) => !asked.includes(player)));
  return new Set(asked);
}

/** The field for some silent players; null where all play. */
export function tacetOf(silent) {
  const named = PLAYERS.filter((player) => silent.has(player));
  return named.length ? named.join(", ") : null;
}
