// The order of play: a numbered list, a line for each time round, with what is played, how often, and its name.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";
import { newStep } from "../state.js";
import { MoreFields, OF_LINE } from "./more_fields.js";
import { TextField } from "./text_field.js";

const $ = (id) => document.getElementById(id);

export class OrderView {
  #lines = []; // as in the form file
  #rows = [];

  constructor(state, announce) {
    Object.assign(this, { state, announce });
    $("start-order").addEventListener("click", () => this.#start());
    $("add-line").addEventListener("click", () => this.#add());
  }

  /** Shows the order of a state and its mistakes. */
  show({ order, mistakes }) {
    this.#lines = order;
    while (this.#rows.length < order.length) this.#addRow();
    for (const row of this.#rows.splice(order.length)) row.element.remove();
    this.#rows.forEach((row, place) => this.#showRow(row, place, mistakes));
    $("no-order").hidden = $("start-order").hidden = order.length > 0;
    $("add-line").hidden = order.length === 0;
  }

  #showRow({ fields, buttons, more, element }, place, mistakes) {
    const line = whole(this.#lines[place]);
    const own = mistakes.filter((each) => each.of === "order" && each.place === place);
    for (const [name, field] of Object.entries(fields)) {
      field.show(line[name] ?? "", name === "times" ? "1" : "");
      field.showMistakes(own.filter((each) => each.field === name || (name === "play" && !isKnown(each, fields))).map(({ text }) => text));
    }
    element.setAttribute("aria-label", say("order.line", { number: place + 1 }));
    more.show(line, own, OF_LINE);
    buttons.up.setAttribute("aria-disabled", String(place === 0));
    buttons.down.setAttribute("aria-disabled", String(place === this.#lines.length - 1));
  }

  #addRow() {
    const row = { element: html("li") };
    const place = () => this.#rows.indexOf(row);
    const sendMore = (name, value, step, rest) => this.#change(place(), name, value, step, rest);
    row.more = new MoreFields({ send: sendMore, left: () => this.state.flush(), options: LINE_OPTIONS() });
    const send = (name) => (value, step, rest) => this.#change(place(), name, value, step, rest);
    row.fields = {
      play: new TextField({ label: say("order.play"), send: send("play"), className: "play" }),
      times: new TextField({ label: say("order.times"), send: send("times"), kind: "number", className: "times" }),
      as: new TextField({ label: say("order.name"), send: send("as") }),
    };
    const button = (name, act) => {
      const made = html("button", { type: "button", "data-act": name }, say(`order.${name}`));
      made.addEventListener("click", () => made.getAttribute("aria-disabled") !== "true" && act());
      return made;
    };
    row.buttons = {
      up: button("up", () => this.#move(place(), -1)),
      down: button("down", () => this.#move(place(), 1)),
      remove: button("remove", () => this.#remove(place())),
    };
    const parts = Object.values(row.fields).map(({ element }) => element);
    row.element.append(html("div", { class: "line" }, ...parts, html("div", { class: "buttons" }, ...Object.values(row.buttons))), row.more.element);
    this.#rows.push(row);
    $("lines").append(row.element);
  }

  #change(place, name, value, step, rest) {
    const lines = [...this.#lines];
    const line = { ...whole(lines[place]) };
    if (value === null && name !== "play") delete line[name];
    else line[name] = value ?? "";
    lines[place] = Object.keys(line).length === 1 ? line.play : line;
    this.#lines = lines; // another field of the line may be next, before the answer
    this.state.type({ do: "order", lines, step }, rest);
  }

  async #start() {
    await this.state.edit({ do: "start-order" });
    this.#rows[0]?.fields.play.input.focus();
    this.announce(say("order.started"));
  }

  async #add() {
    const last = whole(this.#lines.at(-1));
    await this.#send([...this.#lines, last.play]);
    this.#rows.at(-1).fields.play.input.focus();
  }

  async #move(place, way) {
    const lines = [...this.#lines];
    lines.splice(place + way, 0, ...lines.splice(place, 1));
    await this.#send(lines);
    const { up, down } = this.#rows[place + way].buttons;
    const [asked, other] = way < 0 ? [up, down] : [down, up];
    (asked.getAttribute("aria-disabled") === "true" ? other : asked).focus();
    this.announce(say("order.moved", { number: place + way + 1 }));
  }

  async #remove(place) {
    await this.#send(this.#lines.filter((_, n) => n !== place));
    const next = this.#rows[Math.min(place, this.#rows.length - 1)];
    (next?.buttons.remove ?? $("start-order")).focus();
    this.announce(say("order.removed", { number: place + 1 }));
  }

  #send(lines) {
    return this.state.edit({ do: "order", lines, step: newStep() });
  }

  /** The input of a line's field. */
  inputOf(place, name) {
    const { fields, more } = this.#rows[place] ?? this.#rows[0] ?? { fields: {} };
    return fields[name]?.input ?? more?.inputOf(name) ?? fields.play?.input ?? null;
  }
}

/** The key of a line may be so many semitones up or down. */
const LINE_OPTIONS = () => ({ key: { kind: "text", choices: [], hint: say("fields.line_key") } });

function isKnown({ field }, fields) {
  return field in fields || OF_LINE.includes(field);
}

/** A line as a table: one that is text alone plays it once. */
function whole(line) {
  return typeof line === "object" && line ? line : { play: String(line ?? "") };
}
