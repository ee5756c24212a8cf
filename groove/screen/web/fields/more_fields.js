// A fold with the fields of a section, or of a line of the order, that few forms need; made when it is opened.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";
import { FormField } from "./form_field.js";
import { TimeBars } from "./time_bars.js";

/** The fields in groups, as they are shown. */
const GROUPS = {
  road: ["time_bars", "open", "rit", "fermata", "trade"],
  pace: ["key", "key_cycle", "tempo", "tempo_step", "beat", "meter", "feel", "swing_ratio", "pulse", "turnaround", "quick_change"],
  band: ["drums", "bass", "comping", "percussion", "instrument", "riff"],
  playing: ["intensity", "dynamics", "kicks", "stops", "tacet", "pedal"],
  words: ["cue", "lyrics", "melody"],
};
const ALL = Object.values(GROUPS).flat();
const ONLY_LINES = ["open", "trade", "key_cycle", "tempo_step"];
const ONLY_SECTIONS = ["time_bars", "beat", "lyrics", "melody"];
/** The fields of a section; those of the only section of a form that has chords alone; those of a line. */
export const OF_SECTION = ALL.filter((name) => !ONLY_LINES.includes(name));
export const OF_ONLY_SECTION = ["time_bars", "rit", "fermata", "riff", "kicks", "stops", "pedal", "cue", "lyrics", "melody"];
export const OF_LINE = ALL.filter((name) => !ONLY_SECTIONS.includes(name));

export class MoreFields {
  #fields = new Map();
  #shown = { values: {}, mistakes: [] };

  /**
   * send: called with (name, value, step, rest). left: called when a field is left whose text must be sent then.
   * options: of some fields by their names, see FormField.
   */
  constructor({ send, left, options = {} }) {
    Object.assign(this, { send, left, options, names: [] });
    this.summary = html("summary");
    this.place = html("div");
    this.element = html("details", { class: "more" }, this.summary, this.place);
    this.element.addEventListener("toggle", () => this.element.open && this.#make());
  }

  #make() {
    if ([...this.#fields.keys()].join() === this.names.join()) return;
    const send = (name) => (value, step, rest) => this.send(name, value, step, rest);
    this.#fields = new Map(
      this.names.map((name) => {
        if (name === "time_bars") return [name, new TimeBars(send(name), this.left)];
        return [name, new FormField(name, send(name), this.options[name])];
      }),
    );
    this.place.replaceChildren(...Object.keys(GROUPS).flatMap((group) => this.#group(group)));
    this.#fill();
  }

  #group(group) {
    const fields = GROUPS[group].filter((name) => this.#fields.has(name)).map((name) => this.#fields.get(name).element);
    const legend = html("legend", {}, say(`fields.groups.${group}`));
    return fields.length ? [html("fieldset", {}, legend, html("div", { class: "fields" }, ...fields))] : [];
  }

  /** Shows the values and the mistakes of fields by their names; the fold opens at a mistake. names: the fields there are. */
  show(values, mistakes, names) {
    this.names = names;
    this.#shown = { values, mistakes };
    const filled = names.filter((name) => values[name] !== undefined).map((name) => say(`fields.names.${name}`));
    const words = filled.length ? say("fields.more_with", { fields: filled.join(", ") }) : say("fields.more");
    if (this.summary.textContent !== words) this.summary.textContent = words;
    if (mistakes.some(({ field }) => names.includes(field))) this.element.open = true;
    if (this.element.open) this.#make();
    if (this.#fields.size) this.#fill();
  }

  #fill() {
    const { values, mistakes } = this.#shown;
    for (const [name, field] of this.#fields) {
      field.show(values[name], field.kind === "choice" ? say("fields.usual") : "");
      field.showMistakes(mistakes.filter((each) => each.field === name).map(({ text }) => text));
    }
  }

  /** The input of a field, which is shown; null where there is none. */
  inputOf(name) {
    if (!this.names.includes(name)) return null;
    this.element.open = true;
    this.#make();
    return this.#fields.get(name).input;
  }
}
