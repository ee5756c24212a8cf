// Heights and the notation of a form file for the intensity: "1 2 3" chorus by chorus, "1-2 2-3" with slopes.

export const STEP = 0.5;
/** The levels that a height may have. */
export const LEVELS = [1, 1.5, 2, 2.5, 3];

/** The level that is nearest to one. */
export function nearest(level) {
  return Math.max(LEVELS[0], Math.min(LEVELS.at(-1), STEP * Math.round(level / STEP)));
}

/** Whether a text is a height for each of so many rounds, or a line from height to height. */
export function isPlain(text, rounds) {
  if (typeof text !== "string") return false;
  const words = text.split(/\s+/).filter(Boolean);
  const pairs = words.map((word) => word.split("-").map(Number));
  if (!words.length || words.length > rounds) return false;
  if (pairs.some((pair) => pair.length > 2 || !pair.every((level) => LEVELS.includes(level)))) return false;
  if (pairs.every(([from, to = from]) => from === to)) return true;
  const leadsOn = pairs.every(([, to], n) => n + 1 >= pairs.length || (to !== undefined && to === pairs[n + 1][0]));
  const last = pairs.at(-1); // it stays flat to the end, which needs a chorus of its own
  return leadsOn && (last.length === 1 || last[0] === last[1]);
}

/** The heights of rounds, each {from, to}. */
export function heightsOf(rounds) {
  return rounds.map(({ from }) => nearest(from));
}

/** The course of each round as {from, to}. */
export function coursesOf(heights, slopes) {
  return heights.map((from, n) => ({ from, to: slopes ? heights[n + 1] ?? from : from }));
}

/** The text of heights; the last word of a text holds to the end. */
export function textOf(heights, slopes) {
  const kept = heights.slice(0, heights.length - heights.toReversed().findIndex((level) => level !== heights.at(-1)) + 1);
  const told = new Set(heights).size === 1 ? heights.slice(0, 1) : kept;
  const words = coursesOf(told, slopes).map(({ from, to }) => (slopes && told.length > 1 ? `${from}-${to}` : String(from)));
  if (slopes && told.length > 1) words[words.length - 1] = String(told.at(-1));
  return words.join(" ");
}
