// The sections of a track, as a student skips from one to the next.

import { passAt, roadOf } from "./road.js";

/** The first and last bars of all sections, from 1, with their names; none where the form has no names for any. */
export function sectionsOf(track) {
  if (track.road) return roadOf(track).passes.map(({ first, last, name }) => ({ from: first + 1, to: last, name }));
  const starts = track.sections.map(([name, bar]) => ({ name, from: bar }));
  return starts.map((section, n) => ({ ...section, to: (starts[n + 1]?.from ?? track.bars + 1) - 1 }));
}

/** The section of a bar, from 1; null for none. */
export function sectionAt(track, bar) {
  const pass = track.road ? passAt(track, bar - 1) : null;
  return sectionsOf(track).find(({ from, to }) => (pass ? from === pass.first + 1 : from <= bar && bar <= to)) ?? null;
}

/** The section after that of a bar; the first after the last. */
export function nextSection(track, bar) {
  const sections = sectionsOf(track);
  return sections.find(({ from }) => from > bar) ?? sections[0] ?? null;
}
