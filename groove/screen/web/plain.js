// Words as they are compared where something is looked for.

/** Words in small letters without accents, for finding them. */
export function plain(words) {
  return words.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
}
