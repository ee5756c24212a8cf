// The fields of the whole form: title, key, tempo and the others.

import { say, wordsAt } from "../../practice/music/words.js";
import { TextField } from "./text_field.js";

const FIRST = ["key", "tempo", "meter", "feel", "choruses", "drums", "bass", "comping"];
const OTHERS = ["percussion", "intensity", "count_in", "ending", "swing_ratio", "turnaround", "quick_change", "by", "seed"];
const NUMBERS = ["tempo", "choruses", "count_in", "swing_ratio", "seed"];
const ANSWERS = ["quick_change"]; // true or false in the file

export class WholeForm {
  /** choices: what the server offers for fields with a list. */
  constructor(state, choices) {
    Object.assign(this, { state, choices, fields: {} });
    document.getElementById("title-line").append(this.#field("title", "title").element);
    document.getElementById("fields").append(...FIRST.map((name) => this.#field(name).element));
    document.getElementById("more").append(...OTHERS.map((name) => this.#field(name).element));
  }

  #field(name, className = "") {
    const choices = ANSWERS.includes(name) ? wordsAt("fields.answers") : this.choices[name];
    const kind = choices ? "choice" : NUMBERS.includes(name) ? "number" : "text";
    const send = (value, step, rest) => this.state.type({ do: "field", name, value: fromText(name, value), step }, rest);
    this.fields[name] = new TextField({ label: say(`fields.names.${name}`), send, kind, choices, className });
    return this.fields[name];
  }

  /** Shows the fields of a state and their mistakes. */
  show({ fields, facts, order, mistakes }) {
    for (const [name, field] of Object.entries(this.fields)) {
      const value = fields[name];
      field.show(typeof value === "boolean" ? String(value) : value, this.#usual(name, facts));
      field.showMistakes(mistakes.filter((each) => !each.of && each.field === name).map(({ text }) => text));
    }
    document.getElementById("facts").textContent = facts ? say("fields.facts", { setting: facts.setting, time: inMinutes(facts.seconds) }) : "";
    this.fields.choruses.element.hidden = order.length > 0 && fields.choruses === undefined;
  }

  /** What is played where a field is left out, as words for the empty field. */
  #usual(name, facts) {
    const value = name === "title" ? facts?.title : facts?.played[name];
    const title = this.choices[name]?.find(([choice]) => choice === String(value))?.[1] ?? value;
    if (title === undefined || title === "") return this.fields[name].kind === "choice" ? say("fields.usual") : "";
    return this.choices[name] ? say("fields.usual_now", { value: title }) : String(title);
  }

  /** The input of a field, or null. */
  inputOf(name) {
    const field = this.fields[name];
    field?.element.closest("details")?.setAttribute("open", "");
    return field?.input ?? null;
  }
}

/** The value of a field as the file has it: yes and no are no text there. */
function fromText(name, value) {
  const isAnswer = name !== "title" && (value === "true" || value === "false");
  return isAnswer ? value === "true" : value;
}

function inMinutes(seconds) {
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}
