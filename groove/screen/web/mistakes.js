// The list of mistakes above the chart, each a way to its place.

import { html } from "../practice/screen/svg.js";
import { say, sayMany, wordsAt } from "../practice/music/words.js";

const CALM = 900; // ms without a change after which the mistakes are read out

export class Mistakes {
  #said = "";
  #timer = 0;

  /** go: called with a mistake to go to its place. announce: called with words to be read out. */
  constructor({ go, announce }) {
    Object.assign(this, { go, announce });
  }

  /** Shows the mistakes of a state. */
  show({ mistakes: all, sections, isEmpty }) {
    const mistakes = isEmpty ? all.filter(({ field }) => field) : all; // an empty form is no mistake yet
    const list = document.getElementById("mistake-list");
    document.getElementById("mistakes").hidden = mistakes.length === 0;
    document.getElementById("mistakes-title").textContent = sayMany("mistakes.title", mistakes.length);
    const items = mistakes.map((each) => html("li", {}, this.#link(each, sections), " ", html("span", {}, each.text)));
    const now = JSON.stringify([mistakes, sections.map(({ name }) => name)]);
    if (now === this.shown) return;
    this.shown = now;
    list.replaceChildren(...items);
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.#announce(mistakes, sections), CALM);
  }

  #link(mistake, sections) {
    const link = html("a", { href: "#chart" }, placeOf(mistake, sections));
    link.addEventListener("click", (event) => {
      event.preventDefault();
      this.go(mistake);
    });
    return link;
  }

  #announce(mistakes, sections) {
    const first = mistakes[0];
    const words = first ? `${sayMany("mistakes.title", mistakes.length)} ${placeOf(first, sections)} ${first.text}` : say("mistakes.none");
    if (words === this.#said || (!first && !this.#said)) return;
    this.#said = words;
    this.announce(words);
  }
}

/** The place of a mistake in words. */
function placeOf({ of, place, field, bar }, sections) {
  if (of === "order") return say("mistakes.line", { number: place + 1 });
  if (of === "phrases") return say("mistakes.phrase", { number: place + 1 });
  const section = of === "sections" ? sections[place]?.name : "";
  if (bar !== null) return section ? say("mistakes.bar_of", { section, number: bar + 1 }) : say("mistakes.bar", { number: bar + 1 });
  if (of === "sections") return say("mistakes.section", { section: section || place + 1 });
  return field ? say("mistakes.field", { field: titleOf(field) }) : say("mistakes.form");
}

/** A field by the title that it has on the page, or by its name in the form file. */
function titleOf(field) {
  const titles = ["fields.names", "lesson.voice", "lesson.learner"].map((place) => wordsAt(place)[field]);
  return titles.find((title) => title !== undefined) ?? field;
}
