// The parts of the lesson sheet: to tick, to order, and with the teacher's own words.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";
import { TextField } from "../fields/text_field.js";
import { newStep } from "../state.js";
import { remarkAt } from "./voice_view.js";

const $ = (id) => document.getElementById(id);

export class BlocksView {
  #rows = new Map(); // by the name of a part
  #chosen = []; // the parts on the sheet, in their order

  constructor(state, announce) {
    Object.assign(this, { state, announce });
    $("usual-blocks").addEventListener("click", () => this.#takeUsual());
    $("blocks").addEventListener("dragover", (event) => this.#dragOver(event));
    $("blocks").addEventListener("drop", (event) => this.#drop(event));
  }

  /** Shows the parts of a state. told: the lesson as the server has it. */
  show(now, told) {
    const { fields, mistakes } = now;
    const own = named(fields.blocks);
    const known = told.parts.map(([name]) => name);
    this.#chosen = (own ?? told.usual).filter((name) => known.includes(name));
    const rest = known.filter((name) => !this.#chosen.includes(name));
    const titles = new Map(told.parts);
    const rows = [...this.#chosen, ...rest].map((name) => this.#row(name));
    this.#order(rows);
    rows.forEach((row, place) => this.#show(row, place, titles.get(row.name), fields));
    $("blocks-hint").textContent = say(`lesson.blocks.${own ? "own" : "usual"}`);
    $("usual-blocks").hidden = !own;
    const wrong = mistakes.filter((each) => !each.of && ["blocks", "headings"].includes(each.field));
    $("blocks-mistakes").hidden = wrong.length === 0;
    $("blocks-mistakes").textContent = wrong.map(({ text }) => text).join(" ");
  }

  /** Puts the rows in their order; the focus stays where it is. */
  #order(rows) {
    const there = [...$("blocks").children];
    if (rows.every(({ element }, n) => element === there[n])) return;
    const focused = document.activeElement;
    const hadFocus = $("blocks").contains(focused);
    $("blocks").append(...rows.map(({ element }) => element));
    if (hadFocus) focused.focus();
  }

  #row(name) {
    if (!this.#rows.has(name)) this.#rows.set(name, this.#newRow(name));
    return this.#rows.get(name);
  }

  #newRow(name) {
    const id = `block-${name}`;
    const row = { name, box: html("input", { type: "checkbox", id }), label: html("label", { for: id, draggable: "true" }) };
    const button = (act, sign, does) => {
      const made = html("button", { type: "button", "data-act": act, title: say(`lesson.blocks.${act}`) }, sign);
      made.addEventListener("click", () => made.getAttribute("aria-disabled") !== "true" && does());
      return made;
    };
    row.up = button("up", "↑", () => this.#move(name, -1));
    row.down = button("down", "↓", () => this.#move(name, 1));
    row.note = html("span", { class: "hint", id: `${id}-note`, hidden: true }, say("lesson.blocks.nothing"));
    row.summary = html("summary", {}, say("lesson.blocks.words"));
    const sent = (edit) => (value, step, rest) => this.state.type({ ...edit(value ?? ""), step }, rest);
    row.title = new TextField({ label: say("lesson.blocks.title"), send: sent((text) => ({ do: "heading", part: name, text })) });
    row.remark = new TextField({ label: say("lesson.blocks.remark"), send: sent((text) => ({ do: "remark", place: name, text })), kind: "long", className: "remark" });
    row.words = html("details", {}, row.summary, html("div", { class: "fields" }, row.title.element, row.remark.element));
    const tick = html("span", { class: "tick" }, row.box, row.label, row.note);
    row.element = html("li", { "data-part": name }, tick, html("span", { class: "moves" }, row.up, row.down), row.words);
    row.box.addEventListener("change", () => this.#tick(name, row.box));
    row.element.addEventListener("keydown", (event) => this.#key(event, name));
    row.label.addEventListener("dragstart", (event) => this.#drag(event, name));
    return row;
  }

  #show(row, place, title, { headings, remarks }) {
    const isOn = place < this.#chosen.length;
    const own = headings?.[row.name] ?? "";
    row.box.checked = isOn;
    row.label.textContent = title;
    row.element.classList.toggle("off", !isOn);
    row.up.hidden = row.down.hidden = !isOn;
    row.up.setAttribute("aria-label", say("lesson.blocks.up_said", { part: title }));
    row.down.setAttribute("aria-label", say("lesson.blocks.down_said", { part: title }));
    row.up.setAttribute("aria-disabled", String(place === 0));
    row.down.setAttribute("aria-disabled", String(place === this.#chosen.length - 1));
    row.summary.setAttribute("aria-label", say("lesson.blocks.words_said", { part: title }));
    const said = remarkAt(remarks, row.name);
    row.summary.classList.toggle("has-words", Boolean(own || said));
    row.words.hidden = !isOn && !own && !said; // a part that isn't printed needs no words
    row.title.show(own, own ? "" : title);
    row.remark.show(said);
  }

  /** Marks the parts that the sheet has nothing for. */
  showEmpty(names) {
    for (const [name, { box, note }] of this.#rows) {
      note.hidden = !names.includes(name);
      if (note.hidden) box.removeAttribute("aria-describedby");
      else box.setAttribute("aria-describedby", note.id);
    }
  }

  async #tick(name, box) {
    const rest = this.#chosen.filter((each) => each !== name);
    if (!box.checked && !rest.length) {
      box.checked = true;
      return this.announce(say("lesson.blocks.last"));
    }
    await this.#send(box.checked ? [...rest, name] : rest);
    const part = this.#row(name).label.textContent;
    const number = this.#chosen.indexOf(name) + 1;
    return this.announce(number ? say("lesson.blocks.added", { part, number }) : say("lesson.blocks.removed", { part }));
  }

  async #move(name, way) {
    const from = this.#chosen.indexOf(name);
    const to = from + way;
    if (from < 0 || to < 0 || to >= this.#chosen.length) return;
    await this.#place(name, to);
    const { up, down } = this.#row(name);
    if (document.activeElement === up && to === 0) down.focus();
    if (document.activeElement === down && to === this.#chosen.length - 1) up.focus();
  }

  async #place(name, to) {
    const names = this.#chosen.filter((each) => each !== name);
    names.splice(to, 0, name);
    await this.#send(names);
    this.announce(say("lesson.blocks.moved", { part: this.#row(name).label.textContent, number: to + 1 }));
  }

  async #takeUsual() {
    await this.#send([]);
    this.announce(say("lesson.blocks.back"));
    this.#row(this.#chosen[0]).box.focus();
  }

  /** Sends the parts that are on the sheet; another move may follow before the answer. */
  #send(names) {
    if (names.length) this.#chosen = names;
    return this.state.edit({ do: "blocks", names, step: newStep() });
  }

  #key(event, name) {
    const way = { ArrowUp: -1, ArrowDown: 1 }[event.key];
    if (!way || !event.altKey) return;
    event.preventDefault();
    this.#move(name, way);
  }

  #drag(event, name) {
    this.dragged = this.#chosen.includes(name) ? name : null;
    if (!this.dragged) return event.preventDefault();
    event.dataTransfer.effectAllowed = "move";
    return event.dataTransfer.setData("text/plain", name);
  }

  #dragOver(event) {
    if (this.dragged && this.#under(event) >= 0) event.preventDefault();
  }

  #drop(event) {
    const to = this.#under(event);
    const name = this.dragged;
    this.dragged = null;
    if (!name || to < 0) return;
    event.preventDefault();
    this.#place(name, to);
  }

  /** The place of the part that is under the pointer; -1 for none on the sheet. */
  #under(event) {
    return this.#chosen.indexOf(event.target.closest("li")?.dataset.part);
  }

  /** The input of the first part, for the way to a mistake. */
  get first() {
    return this.#rows.values().next().value?.box ?? null;
  }
}

/** The parts that a form file names; null where it names none. */
function named(blocks) {
  const names = typeof blocks === "string" ? blocks.split(",") : Array.isArray(blocks) ? blocks : [];
  const found = names.map((name) => String(name).trim().toLowerCase()).filter(Boolean);
  return found.length ? found : null;
}
