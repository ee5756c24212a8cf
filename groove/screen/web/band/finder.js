// The patterns of one player: those that fit the form first, narrowed by words and choices.

import { html } from "../../practice/screen/svg.js";
import { say, wordsAt } from "../../practice/music/words.js";
import { PatternRow } from "./pattern_row.js";

const $ = (id) => document.getElementById(id);
const GROUPS = ["fits", "changes", "cannot"];
const FIRST = { fits: 10, changes: 5, cannot: 3 }; // rows that a group begins with
const WAYS = { ArrowDown: 1, ArrowUp: -1 };

export class Finder {
  #rows = new Map(); // by kind and name
  #open = new Set(); // groups that are shown whole
  #here = null; // the row that Tab leads to
  #fields = {};

  /** context: see PatternsView. view: the PatternsView, which chooses. */
  constructor(context, view) {
    Object.assign(this, { context, view, kind: "" });
    $("finder-lists").addEventListener("keydown", (event) => this.#goByKey(event));
    $("finder-lists").addEventListener("focusin", ({ target }) => this.#visit(target.closest("li")));
  }

  focus() {
    $("finder-title").focus();
    $("finder-title").scrollIntoView({ block: "nearest" });
  }

  show(kind, told, now) {
    const isOther = kind !== this.kind;
    Object.assign(this, { kind, told, now });
    if (isOther) this.#begin();
    this.#showOwn();
    if (this.#fields.tempo) this.#fields.tempo.options[1].textContent = say("band.find.this_tempo", { tempo: told.tempo });
    this.#list();
  }

  /** The search for another player's patterns. */
  #begin() {
    const { kind, told } = this;
    this.#open.clear();
    $("finder-title").textContent = say("band.find.heading", { player: say(`band.players.${kind}`) });
    this.#fields = { search: html("input", { type: "search", autocomplete: "off", spellcheck: "false" }) };
    if (kind !== "percussion") {
      this.#choice("style", told.styles);
      this.#choice("meter", told.meters.map((meter) => [meter, meter]));
      this.#choice("feel", Object.entries(wordsAt("feels")));
      this.#choice("tempo", [["this", ""]]);
    }
    if (kind === "comping") {
      this.#choice("voicing", [["guitar", say("band.find.guitar")], ["keys", say("band.find.keyboard")]]);
    }
    const fields = Object.entries(this.#fields).map(([name, input]) => {
      input.id = `find-${name}`;
      input.addEventListener("input", () => this.#narrow());
      return html("div", { class: `field ${name}` }, html("label", { for: input.id }, say(`band.find.${name}`)), input);
    });
    $("finder-fields").replaceChildren(...fields);
  }

  #choice(name, choices) {
    const options = choices.map(([value, title]) => html("option", { value }, title));
    this.#fields[name] = html("select", {}, html("option", { value: "" }, say("band.find.any")), ...options);
  }

  #narrow() {
    this.#open.clear();
    const found = this.#list();
    $("finder-count").textContent = say(`band.find.count.${found === 1 ? "one" : "many"}`, { number: found });
  }

  /** What the drums bring, and the way back to it. */
  #showOwn() {
    const { kind, view, told, now } = this;
    const had = $("finder-own").contains(document.activeElement);
    const acts = [];
    const hints = [];
    if (kind !== "drums") hints.push(this.#broughtWords());
    if (told.elsewhere[kind].length) hints.push(say("band.choose.elsewhere", { names: told.elsewhere[kind].join(", ") }));
    if (!now.isValid && !now.isEmpty) hints.push(say("band.choose.mistakes"));
    if (kind !== "drums" && view.isNamed(kind)) acts.push(this.#act("back", () => view.choose(kind, null, say("band.choose.changed"))));
    if (kind === "percussion" && told.played[kind].length) {
      acts.push(this.#act("silence", () => view.choose(kind, [], say("band.choose.silence"))));
    }
    $("finder-own").replaceChildren(...hints.map((words) => html("p", { class: "hint" }, words)), html("div", { class: "buttons" }, ...acts));
    if (had) (acts[0] ?? $("finder-title")).focus();
  }

  #broughtWords() {
    const { kind, view, told } = this;
    if (!view.isNamed(kind)) return say("band.choose.brought");
    const titles = view.titles(kind, told.brought[kind]).join(" + ") || say("band.choose.silence");
    return say("band.choose.own", { titles });
  }

  #act(name, act) {
    const button = html("button", { type: "button" }, say(`band.choose.${name}`));
    button.addEventListener("click", act);
    return button;
  }

  /** Lists what is found; returns how many. */
  #list() {
    const { kind, told } = this;
    const isPlayed = ({ name }) => told.played[kind].includes(name);
    const all = told.patterns[kind].filter((pattern) => this.#suits(pattern));
    const found = [...all.filter(isPlayed), ...all.filter((pattern) => !isPlayed(pattern))];
    const focused = document.activeElement?.closest("#finder-lists") ? document.activeElement : null;
    const shown = GROUPS.map((group) => this.#group(group, found.filter(({ suits }) => suits === group)));
    const none = html("p", { class: "hint" }, say("band.find.none"));
    $("finder-lists").replaceChildren(...(found.length ? shown.filter(Boolean) : [none]));
    if (focused?.isConnected) focused.focus();
    else if (focused) this.focus();
    this.#rove();
    return found.length;
  }

  #suits(pattern) {
    const wanted = Object.fromEntries(Object.entries(this.#fields).map(([name, input]) => [name, input.value]));
    const text = [pattern.title, pattern.about, pattern.name, ...this.#styles(pattern), ...(pattern.with ?? [])].join(" ").toLowerCase();
    const words = wanted.search.toLowerCase().split(/\s+/);
    const [low, high] = pattern.tempo ?? [0, Infinity];
    return (
      words.every((word) => text.includes(word)) &&
      (!wanted.style || pattern.styles.includes(wanted.style)) &&
      (!wanted.meter || pattern.meter === wanted.meter) &&
      (!wanted.feel || pattern.feel === wanted.feel) &&
      (!wanted.voicing || pattern.voicing === wanted.voicing) &&
      (!wanted.tempo || (low <= this.told.tempo && this.told.tempo <= high))
    );
  }

  #styles(pattern) {
    return this.told.styles.filter(([name]) => pattern.styles.includes(name)).map(([, title]) => title);
  }

  #group(group, patterns) {
    if (!patterns.length) return null;
    const most = this.#open.has(group) ? Infinity : FIRST[group];
    const rows = patterns.slice(0, most).map((pattern) => this.#row(pattern).element);
    const id = `finder-${group}`;
    const heading = html("h4", { id }, say(`band.find.groups.${group}`));
    const list = html("ul", { "aria-labelledby": id, "aria-describedby": "finder-keys" }, ...rows);
    const left = patterns.length - rows.length;
    return html("section", { class: `group ${group}` }, heading, list, ...(left > 0 ? [this.#more(group, patterns.length)] : []));
  }

  #more(group, number) {
    const button = html("button", { type: "button", class: "quiet" }, say("band.find.more", { number }));
    button.addEventListener("click", () => {
      this.#open.add(group);
      this.#list();
      const rows = $("finder-lists").querySelectorAll(`.${group} li`);
      this.#visit(rows[FIRST[group]]);
      rows[FIRST[group]]?.querySelector("button").focus();
    });
    return button;
  }

  #row(pattern) {
    const key = `${this.kind} ${pattern.name}`;
    if (!this.#rows.has(key)) this.#rows.set(key, new PatternRow(this.kind, pattern, this.context, this.view));
    const row = this.#rows.get(key);
    row.show(pattern, this.told);
    return row;
  }

  /** Tab leads to one row, arrow keys from row to row. */
  #rove() {
    const rows = [...$("finder-lists").querySelectorAll("li")];
    if (!rows.includes(this.#here)) this.#here = rows.find((row) => row.matches(".chosen")) ?? rows[0];
    for (const row of rows) {
      for (const button of row.querySelectorAll("button")) button.tabIndex = row === this.#here ? 0 : -1;
    }
  }

  #visit(row) {
    if (!row) return;
    this.#here = row;
    this.#rove();
  }

  #goByKey(event) {
    const way = WAYS[event.key];
    const row = event.target.closest("li");
    if (!way || !row || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const rows = [...$("finder-lists").querySelectorAll("li")];
    const next = rows[rows.indexOf(row) + way];
    const place = [...row.querySelectorAll("button")].indexOf(event.target);
    const buttons = [...(next?.querySelectorAll("button") ?? [])].filter((button) => !button.hidden);
    (buttons[place] ?? buttons.at(-1))?.focus();
  }
}
