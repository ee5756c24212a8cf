// A field of a form file by its name: with its label, a hint, its list, and its value as the file has it.

import { say, wordsAt } from "../../practice/music/words.js";
import { choicesOf } from "./choices.js";
import { TextField } from "./text_field.js";
import { isAnswer, kindOf, textOf, valueOf } from "./written.js";

export class FormField extends TextField {
  /** send: called with (value, step, rest), see TextField. options: of a TextField, where they differ. */
  constructor(name, send, options = {}) {
    const choices = options.choices ?? (isAnswer(name) ? wordsAt("fields.answers") : choicesOf(name));
    const kind = options.kind ?? kindOf(name, choices);
    super({
      label: say(`fields.names.${name}`),
      send: (text, step, rest) => send(valueOf(name, text), step, rest),
      kind,
      choices: choices ?? [],
      hint: wordsAt("fields.hints")[name] ?? "",
      className: kind === "long" ? "notation wide" : "",
      ...options,
    });
    this.name = name;
  }

  /** Shows a value of the file; a text that means the same stays as it was typed. usual: for an empty field. */
  show(value, usual = "") {
    const isSame = this.value !== null && JSON.stringify(valueOf(this.name, this.value)) === JSON.stringify(value);
    super.show(isSame ? this.value : textOf(this.name, value), usual);
  }
}
