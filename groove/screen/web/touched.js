// The places of a form that an edit touches: where another window has changed something else, it can still be made.

const LONGEST = 300; // letters of what was written that are shown

const namesOf = ({ sections }) => sections.map(({ name }) => name);
const barsOf = ({ sections }, { section }) => sections[section]?.bars.map(({ text }) => text);
const allOf = ({ fields, order, sections }) => [fields, order, sections];
const bars = (state, asked) => [namesOf(state), barsOf(state, asked)];
const phrases = ({ fields }) => fields.phrases;

const TOUCHED = {
  field: ({ fields }, { name }) => fields[name],
  instrument: ({ fields }, { player }) => fields.instrument?.[player],
  mix: ({ fields }, { name }) => fields[`${name}s`],
  "as-mixed": ({ fields }) => [fields.levels, fields.places],
  "section-field": (state, { section, name }) => [namesOf(state), state.sections[section]?.fields[name]],
  bar: (state, asked) => [namesOf(state), barsOf(state, asked)?.length, barsOf(state, asked)?.[asked.bar]],
  "set-bars": bars,
  "insert-bars": bars,
  "delete-bars": bars,
  order: (state) => [namesOf(state), state.order],
  blocks: ({ fields }) => fields.blocks,
  heading: ({ fields }, { part }) => fields.headings?.[part],
  remark: ({ fields }) => fields.remarks,
  phrase: phrases,
  "remove-phrase": phrases,
  "move-phrase": phrases,
};

/** Whether the place of an edit is the same in two states of a form. */
export function isUntouched(asked, before, now) {
  const touched = TOUCHED[asked.do] ?? allOf;
  return JSON.stringify(touched(before, asked)) === JSON.stringify(touched(now, asked));
}

/** What was written with an edit, as words; empty where it has none. */
export function writtenIn({ text, value, lines, fields }) {
  const played = lines?.map((line) => line.play ?? line).join("; ");
  const words = String(played ?? text ?? value ?? Object.values(fields ?? {}).join(" ")).trim();
  return words.length > LONGEST ? `${words.slice(0, LONGEST)} …` : words;
}
