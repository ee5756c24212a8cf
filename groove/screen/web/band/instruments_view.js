// The players' instruments: a choice for each that can have another one, heard with its pattern.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";
import { newStep } from "../state.js";

export class InstrumentsView {
  #rows = new Map();

  /** context: see PatternsView. */
  constructor(context) {
    Object.assign(this, context);
    this.place = document.getElementById("instruments");
  }

  show({ instruments }) {
    const players = instruments.map(({ player }) => player);
    if (players.join() !== [...this.#rows.keys()].join()) this.#make(instruments);
    for (const each of instruments) this.#show(each);
  }

  #make(instruments) {
    const before = document.activeElement?.closest("#instruments") ? document.activeElement.id : "";
    this.#rows = new Map(instruments.map((each) => [each.player, this.#row(each)]));
    this.place.replaceChildren(...[...this.#rows.values()].map(({ element }) => element));
    if (before) (document.getElementById(before) ?? this.place.querySelector("select"))?.focus();
  }

  #row({ player, title, heard, choices }) {
    const id = `instrument-${player}`;
    const usual = html("option", { value: "" });
    const groups = choices.map(({ title, names }) => {
      return html("optgroup", { label: title }, ...names.map(([name, words]) => html("option", { value: name }, words)));
    });
    const select = html("select", { id }, usual, ...groups);
    select.addEventListener("change", () => this.#choose(player, title, select));
    const field = html("div", { class: "field" }, html("label", { for: id }, title), select);
    const wish = () => ({ kind: heard, whole: this.wholeBand() });
    const acts = heard ? [this.audition.button(title, wish)] : [];
    return { element: html("div", { class: "instrument" }, field, ...acts), select, usual };
  }

  #show({ player, usual, chosen }) {
    const row = this.#rows.get(player);
    row.usual.textContent = say("band.instrument.usual", { usual });
    if (chosen && ![...row.select.options].some(({ value }) => value === chosen)) {
      row.select.append(html("option", { value: chosen }, chosen));
    }
    row.select.value = chosen ?? "";
  }

  async #choose(player, title, select) {
    const value = select.value || null;
    const words = select.selectedOptions[0].textContent;
    await this.state.edit({ do: "instrument", player, value, step: newStep() });
    this.announce(say("band.instrument.done", { player: title, title: words }));
  }
}
