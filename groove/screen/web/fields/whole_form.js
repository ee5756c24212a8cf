// The fields of the whole form: title, key, tempo and the others.

import { say } from "../../practice/music/words.js";
import { FormField } from "./form_field.js";

const FIRST = ["key", "tempo", "meter", "feel", "choruses", "drums", "bass", "comping"];
const OTHERS = ["percussion", "intensity", "count_in", "ending", "swing_ratio", "turnaround", "quick_change", "by", "seed"];
/** Those that few forms have. */
const RARE = ["key_cycle", "tempo_step", "dynamics", "tacet", "pulse", "pickup", "tightness", "plain", "tuning_note", "a4"];

export class WholeForm {
  /** choices: what the server offers for fields with a list. */
  constructor(state, choices) {
    Object.assign(this, { state, choices, fields: {} });
    document.getElementById("title-line").append(this.#field("title", { className: "title" }).element);
    document.getElementById("fields").append(...FIRST.map((name) => this.#field(name).element));
    document.getElementById("more").append(...[...OTHERS, ...RARE].map((name) => this.#field(name).element));
  }

  #field(name, options) {
    const send = (value, step, rest) => this.state.type({ do: "field", name, value, step }, rest);
    this.fields[name] = new FormField(name, send, options);
    return this.fields[name];
  }

  /** Shows the fields of a state and their mistakes. */
  show({ fields, facts, order, mistakes }) {
    for (const [name, field] of Object.entries(this.fields)) {
      field.show(fields[name], this.#usual(name, facts));
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

function inMinutes(seconds) {
  return `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;
}
