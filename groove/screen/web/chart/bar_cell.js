// A bar of the chart: a button that shows its chords, and a text field in its place while it is edited.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";
import { barSigns, spokenBar, strokes } from "./bar_signs.js";
import { newStep } from "../state.js";

const FIELD = { class: "bar-field", autocomplete: "off", autocapitalize: "off", spellcheck: "false", enterkeyhint: "next" };

let cells = 0;

export class BarCell {
  #shown = "";
  #field = null;
  #step = "";
  #asked = null;
  #isFirst = false;
  #asNew = false;

  /**
   * send: called with what is typed as {text, step, isKept, asNew}; text is null where it is taken back, asNew
   * says that it was typed into the place for a new bar. forget: called for what shall not be sent.
   */
  constructor(isNew, { send, forget }) {
    Object.assign(this, { send, forget, isNew, bar: { text: "%", chords: [] }, mistakes: [] });
    this.number = (cells += 1);
    this.button = html("button", { type: "button", class: "bar-button", tabindex: "-1" });
    this.element = html("div", { class: "bar" }, this.button);
    if (isNew) this.#showNew();
  }

  #showNew() {
    this.element.classList.add("new");
    this.button.replaceChildren(html("span", { "aria-hidden": "true" }, "+"));
    this.button.setAttribute("aria-label", say("chart.new"));
  }

  /** Shows whether the place for a new bar is that of the first one. */
  beFirst(isFirst, beats) {
    if (this.element.classList.toggle("first", isFirst) === this.#isFirst) return;
    this.#isFirst = isFirst;
    if (!isFirst) return this.#showNew();
    this.button.replaceChildren(html("span", { class: "invites" }, say("chart.first")), strokes(beats));
    this.button.removeAttribute("aria-label");
  }

  /** Makes the place for a new bar one of the bars. */
  become() {
    this.isNew = false;
    this.element.classList.remove("new", "first");
  }

  /** Shows a bar; returns whether that changed its chords. number: from 1. */
  show(bar, { number, section, beats, mistakes }) {
    const asked = JSON.stringify([bar, number, section, beats, mistakes]);
    if (asked === this.#shown) return false;
    this.#shown = asked;
    Object.assign(this, { bar, mistakes });
    this.button.replaceChildren(html("span", { class: "number", "aria-hidden": "true" }, String(number)), ...barSigns(bar, beats));
    const place = section ? "chart.bar_of" : "chart.bar";
    this.button.setAttribute("aria-label", say(place, { number, section, chords: spokenBar(bar) }));
    this.element.classList.toggle("wide", Boolean(bar.unreadable));
    this.#showMistakes();
    return true;
  }

  #showMistakes() {
    this.element.querySelector(".mistake")?.remove();
    const has = this.mistakes.length > 0;
    this.element.classList.toggle("wrong", has);
    for (const each of [this.button, this.#field]) this.#describe(each);
    if (!has) return;
    const words = this.mistakes.map((text) => html("span", {}, text));
    this.element.append(html("p", { class: "mistake", id: this.#mistakeId }, ...words));
  }

  get #mistakeId() {
    return `mistake-${this.number}`;
  }

  #describe(element) {
    if (!element) return;
    if (this.mistakes.length) element.setAttribute("aria-describedby", this.#mistakeId);
    else element.removeAttribute("aria-describedby");
    if (element === this.#field) element.setAttribute("aria-invalid", String(this.mistakes.length > 0));
  }

  get isOpen() {
    return this.#field !== null;
  }

  get isEmpty() {
    return this.bar.text === "%";
  }

  /** The text field, null while there is none. */
  get field() {
    return this.#field;
  }

  /** Turns the bar into a text field; text: what stands in it instead of what stands in the bar. */
  open(text = this.isNew ? "" : this.bar.text) {
    if (this.isOpen) return;
    this.#step = newStep();
    this.#asNew = this.isNew;
    this.#asked = this.isNew ? "" : this.bar.text;
    const label = this.button.getAttribute("aria-label") ?? this.button.textContent;
    this.#field = html("input", { ...FIELD, value: text, "aria-label": label });
    this.#describe(this.#field);
    this.#field.addEventListener("input", () => this.#type());
    this.#field.addEventListener("blur", () => this.close());
    this.element.classList.add("open");
    this.button.after(this.#field);
    this.#field.focus();
    this.#field.select();
  }

  /** Whether what is typed differs from what stood there. */
  get isTyped() {
    return this.isOpen && this.#field.value.trim() !== this.#asked;
  }

  #type() {
    const text = this.#field.value;
    if (text.trim() && !text.includes("|")) this.#send(text, false);
    else this.forget();
  }

  /** Keeps what is typed and shows the bar again. */
  close() {
    if (!this.isOpen) return;
    const { value } = this.#field;
    const isTyped = this.isTyped;
    this.#end();
    if (!isTyped || (this.isNew && !value.trim())) return;
    if (!value.includes("|")) this.bar = { text: value.trim() || "%", chords: [] }; // until the answer is there
    this.#shown = "";
    this.#send(value, true);
  }

  /** Takes back what is typed and shows the bar again. */
  takeBack() {
    if (!this.isOpen) return;
    const isTyped = this.isTyped;
    this.#end();
    this.forget();
    if (isTyped) this.#send(null, true);
  }

  #send(text, isKept) {
    this.send({ text, step: this.#step, isKept, asNew: this.#asNew });
  }

  #end() {
    const field = this.#field;
    this.#field = null;
    field.remove();
    this.element.classList.remove("open");
  }
}
