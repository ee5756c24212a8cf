// A section of the chart: its name over its bars, with what can be done with it, and its bars.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";
import { BarCell } from "./bar_cell.js";
import { fitBars } from "./bar_signs.js";
import { MoreFields, OF_ONLY_SECTION, OF_SECTION } from "../fields/more_fields.js";
import { TextField } from "../fields/text_field.js";

const LAST = 99_999; // a place after all bars

let sections = 0;

export class SectionView {
  /** state: a FormState. acts: what the chart does with a section: move, remove. */
  constructor(state, acts) {
    Object.assign(this, { state, acts, place: 0, cells: [], shown: null });
    const id = `section-${(sections += 1)}`;
    this.name = html("h3", { class: "section-name", id });
    this.change = html("button", { type: "button", class: "quiet", "aria-expanded": "false", "aria-controls": `${id}-panel` });
    this.panel = html("div", { class: "section-panel", id: `${id}-panel`, hidden: true });
    this.words = html("div", { class: "section-words" });
    this.bars = html("div", { class: "bars" });
    this.head = html("div", { class: "section-head" }, this.name, this.change);
    this.element = html("section", { class: "section", "aria-labelledby": id }, this.head, this.panel, this.words, this.bars);
    this.change.addEventListener("click", () => this.unfold(this.panel.hidden));
    this.#fillPanel();
    this.#addNew();
  }

  #fillPanel() {
    const send = (name) => (value, step, rest) => {
      this.state.type({ do: "section-field", section: this.place, name, value, step }, rest);
    };
    this.fields = {
      name: new TextField({ label: say("section.name"), send: send("name") }),
      letter: new TextField({ label: say("section.letter"), hint: say("section.letter_hint"), send: send("letter") }),
    };
    const button = (name, act) => {
      const made = html("button", { type: "button", "data-act": name }, say(`section.${name}`));
      made.addEventListener("click", () => made.getAttribute("aria-disabled") !== "true" && act());
      return made;
    };
    this.buttons = {
      up: button("up", () => this.acts.move(this.place, this.place - 1)),
      down: button("down", () => this.acts.move(this.place, this.place + 1)),
      remove: button("remove", () => this.acts.remove(this.place)),
    };
    const sendMore = (name, value, step, rest) => send(name)(value, step, rest);
    this.more = new MoreFields({ send: sendMore, left: () => this.state.flush() });
    this.panel.append(...Object.values(this.fields).map(({ element }) => element), ...Object.values(this.buttons), this.more.element);
  }

  /** The input of a field of the section, which is shown; null where there is none. */
  inputOf(name) {
    const found = this.fields[name]?.input ?? this.more.inputOf(name);
    if (found) this.unfold(true);
    return found;
  }

  /** Shows or hides what can be done with the section. */
  unfold(isOpen) {
    this.panel.hidden = !isOpen;
    this.change.setAttribute("aria-expanded", String(isOpen));
  }

  #addNew() {
    this.end = this.#cell(true);
    this.bars.append(this.end.element);
  }

  #cell(isNew) {
    const cell = new BarCell(isNew, {
      forget: () => this.state.forget(),
      send: ({ text, step, isKept, asNew }) => {
        const asked = { ...this.#edit(cell, text, asNew), step };
        if (isKept) this.state.edit(asked);
        else this.state.type(asked);
      },
    });
    return cell;
  }

  #edit(cell, text, asNew) {
    const section = this.place;
    if (text === null) return { do: "nothing" };
    if (cell.bar.unreadable) return { do: "section-field", section, name: "chords", value: text };
    if (asNew) return { do: "insert-bars", section, bar: LAST, text };
    return { do: "bar", section, bar: this.cells.indexOf(cell), text };
  }

  /** Shows a section; mistakes: those in it. Returns the bars whose chords have changed. */
  show(section, place, count, mistakes) {
    Object.assign(this, { place, shown: section });
    const { name, fields, beats, bars } = section;
    const letter = fields.letter ? [html("span", { class: "letter" }, String(fields.letter)), " "] : [];
    this.name.replaceChildren(...letter, name || html("span", { class: "unseen" }, say("section.unnamed")));
    this.element.classList.toggle("unnamed", !name);
    this.change.textContent = say(name ? "section.change" : "section.name_it");
    if (name) this.change.setAttribute("aria-label", say("section.change_said", { name }));
    this.fields.name.show(name);
    this.fields.letter.show(fields.letter ?? "");
    this.#allow("up", place > 0);
    this.#allow("down", place < count - 1);
    this.#allow("remove", count > 1);
    const names = section.again === undefined ? OF_ONLY_SECTION : OF_SECTION;
    const ofFields = mistakes.filter(({ field }) => names.includes(field));
    this.more.show(fields, ofFields, names);
    if (ofFields.length) this.unfold(true);
    const ofBars = mistakes.filter(({ bar, field }) => bar !== null && bar < bars.length && field === "chords");
    this.#say(section, mistakes.filter((each) => !ofBars.includes(each) && !ofFields.includes(each)));
    this.#setCount(bars.length);
    this.end.beFirst(bars.length === 0 && !section.again, beats);
    const texts = (bar) => ofBars.filter((each) => each.bar === bar).map(({ text }) => text);
    return this.cells.filter((cell, n) => cell.show(bars[n], { number: n + 1, section: name, beats, mistakes: texts(n) }));
  }

  #allow(name, may) {
    this.buttons[name].setAttribute("aria-disabled", String(!may));
  }

  /** Sets the words between the name and the bars: of the whole section. */
  #say(section, mistakes) {
    const words = mistakes.map(({ text }) => html("p", { class: "mistake" }, text));
    if (section.again && !mistakes.length) words.push(html("p", { class: "hint" }, say("section.again", { name: section.name })));
    const times = section.fields.time_bars;
    const said = (bars, n) => html("p", { class: "hint" }, say("section.time", { time: n + 1, bars }));
    if (Array.isArray(times)) words.push(...times.map(said));
    this.words.replaceChildren(...words);
    this.mistakes = mistakes;
  }

  #setCount(count) {
    while (this.cells.length < count) this.addBar();
    for (const cell of this.cells.splice(count)) cell.element.remove();
  }

  /** Makes the place for a new bar the last bar, with a new such place after it; returns the bar. */
  addBar() {
    const cell = this.end;
    cell.become();
    this.cells.push(cell);
    this.#addNew();
    return cell;
  }

  /** Puts a bar in before another one, ahead of the server's answer; returns it. */
  insertAt(place) {
    if (place >= this.cells.length) return this.addBar();
    const cell = this.#cell(false);
    this.cells[place].element.before(cell.element);
    this.cells.splice(place, 0, cell);
    return cell;
  }

  /** All bars, and the place for a new one. */
  get places() {
    return [...this.cells, this.end];
  }

  /** Makes all chords as large as there is room for. */
  fit() {
    fitBars(this.cells.map(({ element }) => element));
  }
}
