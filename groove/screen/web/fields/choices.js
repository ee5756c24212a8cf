// The values of fields with a list: as the server offers it, and as the words have it.

import { wordsAt } from "../../practice/music/words.js";

let offered = {};

/** Takes what the server offers into use. */
export function useChoices(choices) {
  offered = choices;
}

/** The pairs of value and title of a field; undefined for one without a list. */
export function choicesOf(name) {
  const lists = wordsAt("fields.lists");
  return offered[name] ?? (Object.hasOwn(lists, name) ? lists[name] : undefined);
}
