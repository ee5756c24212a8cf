// The players and their patterns, each with a way to find another.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";
import { newStep } from "../state.js";
import { Finder } from "./finder.js";

const $ = (id) => document.getElementById(id);
const KINDS = ["drums", "bass", "comping", "percussion"];
const NOBODY = "none"; // percussion in a form file

export class PatternsView {
  #rows = {};

  /** context: what all parts share, with `audition` and `wholeBand`, whether all are to be heard. */
  constructor(context) {
    Object.assign(this, context);
    this.finder = new Finder(context, this);
    $("who-list").append(...KINDS.map((kind) => this.#row(kind)));
    this.kind = null; // whose patterns are looked through
    $("finder-close").addEventListener("click", () => this.#open(null));
  }

  #row(kind) {
    const player = say(`band.players.${kind}`);
    const title = html("p", { class: "pattern-title" });
    const hear = this.audition.button(player, () => ({ kind, whole: this.wholeBand() }));
    const change = html("button", { type: "button" }, say("band.choose.change"));
    change.setAttribute("aria-label", say("band.choose.change_said", { title: player }));
    change.setAttribute("aria-controls", "finder");
    change.addEventListener("click", () => this.#open(this.kind === kind ? null : kind));
    this.#rows[kind] = { title, hear, change };
    const words = html("div", { class: "words" }, html("p", { class: "hint" }, player), title);
    return html("li", { class: "pattern" }, words, html("div", { class: "acts" }, hear, change));
  }

  /** Opens the list of a player's patterns; null closes it. */
  #open(kind) {
    const before = this.kind;
    this.kind = kind;
    this.finder.sortAnew();
    if (!this.told) return; // it opens with the first answer
    this.#show();
    if (kind) this.finder.focus();
    else this.#rows[before].change.focus();
  }

  /** Shows who plays, as far as the form's state tells it, until the server has told of the patterns. */
  begin({ facts }) {
    if (this.told || !facts) return;
    for (const kind of KINDS) this.#showPlayed(kind, facts.played[kind].split(", ").filter(Boolean));
  }

  /** told: the server's patterns and what is played. now: the state of the form. */
  show(told, now) {
    Object.assign(this, { told, now });
    const bringBack = this.finder.held();
    this.#show();
    bringBack();
  }

  #show() {
    const { told, kind } = this;
    for (const each of KINDS) {
      this.#showPlayed(each, told.played[each]);
      this.#rows[each].change.setAttribute("aria-expanded", String(each === kind));
    }
    $("finder").hidden = !kind;
    $("band-choice").classList.toggle("open", Boolean(kind));
    if (kind) this.finder.show(kind, told, this.now);
  }

  #showPlayed(kind, names) {
    const { title, hear } = this.#rows[kind];
    title.textContent = this.titles(kind, names).join(" + ") || say("band.choose.silence");
    hear.hidden = names.length === 0;
  }

  /** The titles of patterns of a kind by their names. */
  titles(kind, names) {
    const titles = new Map(this.choices[kind]);
    return names.map((name) => titles.get(name) ?? name);
  }

  /** Whether the form file names patterns of a kind. */
  isNamed(kind) {
    return this.now.fields[kind] !== undefined;
  }

  /**
   * Writes the patterns of a kind into the form, null for those that the drums bring, and says so. replaced: the
   * fields that they take the place of.
   */
  async choose(kind, names, words, replaced = []) {
    const values = Object.fromEntries(replaced.map((field) => [field, null]));
    values[kind] = names === null ? null : names.join(", ") || NOBODY;
    await this.state.edit({ do: "fields", values, step: newStep() });
    this.announce(words);
  }
}
