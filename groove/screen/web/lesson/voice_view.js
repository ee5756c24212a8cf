// The teacher's words on the sheet and its readers: fields of the form file.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";
import { TextField } from "../fields/text_field.js";

const $ = (id) => document.getElementById(id);
const VOICE = ["teacher", "link", "invite"];
const LEARNER = ["learner", "plays", "solo", "words"];
const USUAL = { learner: "intermediate", plays: "guitar", solo: "none" };
const WHOLE = "lesson"; // the name of the remarks that are about no part
const MOST_ROUNDS = 24;

export class VoiceView {
  #round = 1; // the time round whose remark is shown
  #rounds = 0;

  /** state: the FormState. lesson: the choices of the lesson, from the server. */
  constructor(state, lesson) {
    Object.assign(this, { state, lesson, fields: {} });
    for (const name of VOICE) this.#field(name, "voice", "text");
    this.remark = this.#words(say("lesson.voice.remark"), () => WHOLE);
    this.round = html("select", { id: "round" });
    this.round.addEventListener("change", () => this.#turn(Number(this.round.value)));
    this.roundWords = this.#words(say("lesson.voice.round_words"), () => `chorus ${this.#round}`);
    const round = html("div", { class: "field" }, html("label", { for: "round" }, say("lesson.voice.round")), this.round);
    this.roundWords.element.before(round);
    for (const name of LEARNER) this.#field(name, "learner", "choice");
    this.fields.link.input.addEventListener("blur", () => this.now && this.fields.link.show(this.now.fields.link));
  }

  #field(name, place, kind) {
    const send = (value, step, rest) => this.state.type({ do: "field", name, value, step }, rest);
    this.fields[name] = new TextField({ label: say(`lesson.${place}.${name}`), send, kind, choices: this.lesson[name] });
    $(place).append(this.fields[name].element);
  }

  #words(label, about) {
    const send = (value, step, rest) => this.state.type({ do: "remark", place: about(), text: value ?? "", step }, rest);
    const field = new TextField({ label, send, kind: "long", className: "remark" });
    $("voice").append(field.element);
    return field;
  }

  #turn(round) {
    this.#round = round;
    this.roundWords.show(remarkAt(this.now.fields.remarks, `chorus ${round}`));
  }

  /** Shows the fields of a state and their mistakes. */
  show(now) {
    this.now = now;
    const { fields, facts, mistakes } = now;
    for (const [name, field] of Object.entries(this.fields)) {
      if (name === "link" && isCompleted(field.input, fields.link)) continue;
      field.show(fields[name], LEARNER.includes(name) ? this.#usual(name) : "");
    }
    for (const [name, field] of Object.entries(this.fields)) field.showMistakes(textsOf(mistakes, name));
    this.remark.show(remarkAt(fields.remarks, WHOLE));
    this.remark.showMistakes(textsOf(mistakes, "remarks"));
    this.#showRounds(Math.min(MOST_ROUNDS, facts?.played.choruses ?? 1));
    this.roundWords.show(remarkAt(fields.remarks, `chorus ${this.#round}`));
  }

  #usual(name) {
    if (name === "words") return say("fields.usual_now", { value: say("lesson.languages.english") });
    const [, title] = this.lesson[name].find(([value]) => value === USUAL[name]);
    return say("fields.usual_now", { value: title });
  }

  #showRounds(rounds) {
    if (rounds === this.#rounds) return;
    this.#rounds = rounds;
    this.#round = Math.min(this.#round, rounds);
    const numbers = Array.from({ length: rounds }, (_, n) => n + 1);
    this.round.replaceChildren(...numbers.map((number) => html("option", { value: number }, say("lesson.voice.round_number", { number }))));
    this.round.value = String(this.#round);
  }

  /** The input of a field of the lesson; null where it has none. */
  inputOf(name) {
    return (name === "remarks" ? this.remark : this.fields[name])?.input ?? null;
  }
}

/** The paragraphs at a place of the remarks of a form file, with an empty line between two. */
export function remarkAt(remarks, place) {
  if (typeof remarks !== "object" || remarks === null) return place === WHOLE ? String(remarks ?? "").trim() : "";
  if (Array.isArray(remarks)) return place === WHOLE ? remarks.join("\n\n") : "";
  const name = Object.keys(remarks).find((each) => each.toLowerCase().split(/\s+/).join(" ") === place);
  const found = name === undefined ? "" : remarks[name];
  return Array.isArray(found) ? found.join("\n\n") : String(found).trim();
}

/** Whether an address is still being typed that the form file has with what it begins with. */
function isCompleted(input, address) {
  return document.activeElement === input && address === `https://${input.value.trim()}`;
}

function textsOf(mistakes, name) {
  return mistakes.filter((each) => !each.of && each.field === name).map(({ text }) => text);
}
