// First and second endings: a field for each time, and an empty one for the next.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";
import { TextField } from "./text_field.js";

const WHEN_LEFT = 1e9; // ms; what is emptied is sent when the field is left

export class TimeBars {
  #fields = [];
  #texts = [];

  /** send: called with (value, step, rest), null where there are none; left: called when a field is left. */
  constructor(send, left) {
    Object.assign(this, { send, left });
    this.hint = html("p", { class: "hint" }, say("fields.hints.time_bars"));
    this.element = html("div", { class: "time-bars", role: "group", "aria-label": say("fields.names.time_bars") }, this.hint);
  }

  /** The field of the last time that has bars. */
  get input() {
    return this.#fields[Math.max(0, this.#texts.length - 1)]?.input ?? null;
  }

  /** Shows the bars of each time. */
  show(value) {
    this.#texts = Array.isArray(value) ? value.map(String) : value === undefined ? [] : [String(value)];
    while (this.#fields.length <= this.#texts.length) this.#add();
    for (const field of this.#fields.splice(this.#texts.length + 1)) field.element.remove();
    this.#fields.forEach((field, n) => field.show(this.#texts[n]));
  }

  #add() {
    const number = this.#fields.length;
    const field = new TextField({
      label: say("fields.ending", { number: number + 1 }),
      send: (text, step, rest) => this.#change(number, text, step, rest),
      className: "wide",
    });
    field.input.addEventListener("change", () => this.left());
    this.#fields.push(field);
    this.element.append(field.element);
  }

  #change(number, text, step, rest) {
    const texts = [...this.#texts];
    texts[number] = text ?? "";
    const kept = texts.filter(Boolean);
    this.send(kept.length ? kept : null, step, text === null ? WHEN_LEFT : rest);
  }

  /** Shows the mistakes at the last time. */
  showMistakes(texts) {
    this.#fields.forEach((field, n) => field.showMistakes(n === Math.max(0, this.#texts.length - 1) ? texts : []));
  }
}
