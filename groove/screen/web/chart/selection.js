// Several bars of a section that are chosen together, and their way to the clipboard and back.

import { say, sayMany } from "../../practice/music/words.js";

export class Selection {
  #anchor = null;
  #head = null;
  #copied = "";

  constructor(chart) {
    this.chart = chart;
    document.addEventListener("copy", (event) => this.#copy(event));
    document.addEventListener("cut", (event) => this.#copy(event) && this.#removeAll());
    document.addEventListener("paste", (event) => this.#paste(event));
  }

  /** Chooses all bars from where the choice began, or from `start` where it has not, to a bar of the same section. */
  extendTo(cell, start = this.chart.current) {
    if (!this.#anchor) this.#anchor = start ?? cell;
    const [from, to] = [this.#anchor, cell].map((each) => this.chart.placeOf(each));
    if (!from || from.section !== to.section) this.#anchor = cell;
    if (to.bar === to.section.cells.length) return;
    this.#head = cell;
    this.chart.goTo(cell);
    this.refresh();
    const { count } = this.range;
    this.chart.announce(sayMany("chart.chosen", count));
  }

  /** Chooses all bars of a section. */
  all(section) {
    if (!section.cells.length) return;
    this.#anchor = section.cells[0];
    this.extendTo(section.cells.at(-1));
  }

  /** Chooses nothing but the bar that has the focus. */
  clear() {
    this.#anchor = this.#head = null;
    this.refresh();
  }

  get isSeveral() {
    return this.#head !== null;
  }

  /** The bars that are chosen, or the one that has the focus: {section, bar, count}; null for none. */
  get range() {
    const head = this.#head ?? this.chart.current;
    const places = [this.#anchor ?? head, head].map((cell) => cell && this.chart.placeOf(cell));
    if (!places[0] || !places[1]) return null;
    const [{ section, bar }, { bar: other }] = places;
    const first = Math.min(bar, other);
    const count = Math.abs(bar - other) + 1;
    return { section, bar: first, count: Math.min(count, section.cells.length - first) };
  }

  /** Shows which bars are chosen. */
  refresh() {
    if (this.#head && !this.chart.placeOf(this.#head)) this.#anchor = this.#head = null;
    const { section, bar, count } = (this.isSeveral && this.range) || { count: 0 };
    for (const cell of this.chart.allCells) cell.button.removeAttribute("aria-pressed");
    for (const cell of section?.cells.slice(bar, bar + count) ?? []) cell.button.setAttribute("aria-pressed", "true");
  }

  /** The chosen bars as text with bar lines. */
  get text() {
    const range = this.range;
    if (!range?.count) return "";
    const cells = range.section.cells.slice(range.bar, range.bar + range.count);
    const texts = cells.map((cell) => cell.bar.text);
    if (texts[0] === "%") texts[0] = soundsIn(range);
    return `| ${texts.join(" | ")} |`;
  }

  get #isMeant() {
    return Boolean(document.activeElement?.closest?.(".bar-button"));
  }

  #copy(event) {
    const { text } = this;
    if (!this.#isMeant || !text) return false;
    event.preventDefault();
    event.clipboardData.setData("text/plain", text);
    this.#copied = text;
    this.#sayCopied();
    return true;
  }

  #sayCopied() {
    this.chart.announce(sayMany("chart.copied", this.range.count));
  }

  #removeAll() {
    const { section, bar, count } = this.range;
    this.clear();
    this.chart.goTo(this.chart.remove(section, bar, count));
  }

  #paste(event) {
    if (!this.#isMeant) return;
    event.preventDefault();
    this.put(event.clipboardData.getData("text/plain"));
  }

  /** Copies the chosen bars for the button, which has no clipboard event. */
  async copy() {
    const { text } = this;
    if (!text) return;
    this.#copied = text;
    await navigator.clipboard?.writeText(text).catch(() => {});
    this.#sayCopied();
  }

  /** Pastes what the clipboard holds, or what was copied here where it can't be read. */
  async paste() {
    const read = navigator.clipboard?.readText?.() ?? Promise.reject();
    this.put(await read.catch(() => this.#copied));
  }

  /** Puts a chart that is text in the place of the chosen bars, or from the bar with the focus on. */
  put(text) {
    const range = this.range;
    if (!range || !text.trim()) return;
    const { section, bar, count } = range;
    this.clear();
    this.chart.current.takeBack();
    this.chart.goTo(this.chart.current);
    this.chart.state.edit({ do: "paste", section: section.place, bar, count, text });
    this.chart.announce(say("chart.pasted"));
  }
}

/** What a repeat sign with which a choice begins stands for. */
function soundsIn({ section, bar }) {
  const before = section.cells.slice(0, bar + 1).findLast((cell) => cell.bar.text !== "%");
  return before?.bar.text ?? "%";
}
