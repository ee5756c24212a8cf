// The words of the page, in the language that its data has them in.

let table = {};

/** Takes the words of the page's data into use. */
export function useWords(words) {
  table = words;
}

/** What stands at a place of the words, with dots between tables. */
export function wordsAt(place) {
  return place.split(".").reduce((words, name) => words[name], table);
}

/** A sentence with its names filled in. */
export function say(place, names = {}) {
  return wordsAt(place).replace(/\{(\w+)\}/g, (_, name) => names[name]);
}

/** A sentence for one thing or for many, as {number}. */
export function sayMany(place, number, names = {}) {
  return say(`${place}.${number === 1 ? "one" : "many"}`, { number, ...names });
}

/** The word for a name in a table of words, or the name itself. */
export function wordFor(place, name) {
  const words = wordsAt(place);
  return Object.hasOwn(words, name) ? words[name] : name;
}
