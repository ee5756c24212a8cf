// The chart as an editor: its sections, and the way through its bars by keyboard, mouse and touch.

import { say } from "../../practice/music/words.js";
import { fitBars } from "./bar_signs.js";
import { BarKeys } from "./bar_keys.js";
import { Drag } from "./drag.js";
import { Selection } from "./selection.js";
import { OF_ONLY_SECTION } from "../fields/more_fields.js";
import { SectionView } from "./section_view.js";

export class Chart {
  #width = 0;

  /** place: the element that the sections stand in. state: a FormState. announce: called with words to be read out. */
  constructor(place, state, announce) {
    Object.assign(this, { place, state, announce, sections: [], takesSeveral: false });
    this.selection = new Selection(this);
    this.keys = new BarKeys(this);
    this.drag = new Drag(this);
    this.last = null; // the bar that had the focus last
    place.addEventListener("click", (event) => this.#click(event));
    place.addEventListener("focusin", (event) => this.#focused(event));
    new ResizeObserver(() => this.#resized()).observe(place);
  }

  #resized() {
    if (this.place.clientWidth === this.#width) return;
    this.#width = this.place.clientWidth;
    for (const section of this.sections) section.fit();
  }

  /** Shows the sections of a state and their mistakes. */
  show({ sections, mistakes }) {
    while (this.sections.length < sections.length) this.#addSection();
    for (const section of this.sections.splice(sections.length)) section.element.remove();
    const changed = this.sections.flatMap((view, place) => {
      return view.show(sections[place], place, sections.length, mistakesOf(mistakes, place, sections));
    });
    fitBars(changed.map(({ element }) => element));
    this.selection.refresh();
    this.#stopAt(this.last && this.placeOf(this.last) ? this.last : this.sections[0].places[0]);
  }

  #addSection() {
    const view = new SectionView(this.state, {
      move: (from, to) => this.#moveSection(from, to),
      remove: (place) => this.#removeSection(place),
    });
    this.sections.push(view);
    this.place.append(view.element);
  }

  /** The place of a bar: its section and which bar it is, the place for a new one after the last; null if it is gone. */
  placeOf(cell) {
    for (const section of this.sections) {
      const bar = section.places.indexOf(cell);
      if (bar >= 0) return { section, bar };
    }
    return null;
  }

  /** The bar of a place of the page; null where there is none. */
  cellAt(element) {
    const bar = element?.closest?.(".bar");
    if (!bar) return null;
    return this.allCells.find((cell) => cell.element === bar) ?? null;
  }

  /** All bars and places for new ones, in order. */
  get allCells() {
    return this.sections.flatMap((section) => section.places);
  }

  /** The bar that commands are meant for; null before there is one. */
  get current() {
    return this.last && this.placeOf(this.last) ? this.last : null;
  }

  #focused(event) {
    const cell = this.cellAt(event.target);
    if (cell) this.#stopAt(cell);
  }

  /** The Tab key stops at this bar alone. */
  #stopAt(cell) {
    this.last = cell;
    for (const each of this.allCells) each.button.tabIndex = each === cell ? 0 : -1;
  }

  #click(event) {
    const cell = this.cellAt(event.target);
    if (!cell || event.target.closest(".bar-button") === null || this.drag.isOver) return;
    if (event.shiftKey || this.takesSeveral) this.selection.extendTo(cell, this.drag.before);
    else this.edit(cell);
  }

  /** Turns a bar into a text field. */
  edit(cell, text) {
    this.selection.clear();
    cell.open(text);
    cell.element.scrollIntoView({ block: "nearest" });
  }

  /** Goes to a bar without editing it. */
  goTo(cell) {
    if (!cell) return;
    this.#stopAt(cell);
    cell.button.focus();
  }

  /** The bar that stands so many after one, or before it; null beyond the chart. */
  beside(cell, steps) {
    const cells = this.allCells;
    return cells[cells.indexOf(cell) + steps] ?? null;
  }

  /** The bar in the line above (-1) or below (1). */
  inNextLine(cell, way) {
    const { left, top } = cell.element.getBoundingClientRect();
    const cells = this.allCells;
    let found = null;
    let line = null;
    for (let n = cells.indexOf(cell) + way; cells[n]; n += way) {
      if (cells[n].isNew && cells[n] !== cells.at(-1)) continue;
      const box = cells[n].element.getBoundingClientRect();
      if (Math.abs(box.top - top) < 1) continue;
      if (line !== null && Math.abs(box.top - line) > 1) break;
      line = box.top;
      if (found === null || Math.abs(box.left - left) < 1) found = cells[n];
    }
    return found;
  }

  /** Inserts a bar after one, or before it, and turns it into a text field. */
  insertBeside(cell, isBefore = false) {
    const { section, bar } = this.placeOf(cell);
    if (cell.isNew) return this.edit(cell);
    const place = isBefore ? bar : bar + 1;
    this.state.edit({ do: "insert-bars", section: section.place, bar: place });
    return this.edit(section.insertAt(place), "");
  }

  /** Deletes some bars of a section; returns the bar before them, or the first. */
  remove(section, bar, count) {
    this.state.edit({ do: "delete-bars", section: section.place, bar, count });
    this.announce(count === 1 ? say("chart.removed.one") : say("chart.removed.many", { number: count }));
    return section.places[Math.max(0, bar - 1)];
  }

  /** Empties some bars of a section. */
  empty(section, bar, count) {
    this.state.edit({ do: "set-bars", section: section.place, bar, count, text: `|${" % |".repeat(count)}` });
  }

  /** Adds a section after the last one and goes to its first bar. */
  async addSection() {
    const { sections } = this.state.now;
    const first = sections.flatMap(({ bars }) => bars)[0]?.text ?? "%";
    await this.state.edit({ do: "add-section", place: LAST_SECTION, text: `| ${first} | % | % | % |` });
    this.goTo(this.sections.at(-1).places[0]);
    this.announce(say("section.added", { name: this.sections.at(-1).shown.name }));
  }

  async #moveSection(from, to) {
    await this.state.edit({ do: "move-section", section: from, place: to });
    this.sections[from].unfold(false);
    this.sections[to].unfold(true);
    const { up, down } = this.sections[to].buttons;
    const [asked, other] = to < from ? [up, down] : [down, up];
    (asked.getAttribute("aria-disabled") === "true" ? other : asked).focus();
    this.announce(say("section.moved", { name: this.sections[to].shown.name, number: to + 1 }));
  }

  async #removeSection(place) {
    const { name } = this.sections[place].shown;
    await this.state.edit({ do: "remove-section", section: place });
    const next = this.sections[Math.min(place, this.sections.length - 1)];
    for (const section of this.sections) section.unfold(false);
    next.change.focus();
    this.announce(say("section.removed", { name }));
  }
}

const LAST_SECTION = 99_999;

const OF_ALONE = ["chords", "letter", ...OF_ONLY_SECTION];

/** The mistakes in a section; those of a form without sections stand in its only one. */
function mistakesOf(mistakes, place, sections) {
  const isAlone = sections.length === 1 && !sections[0].name;
  return mistakes.filter((each) => (each.of === "sections" && each.place === place) || (isAlone && !each.of && OF_ALONE.includes(each.field)));
}
