// The patterns of one player: those that fit the form first, narrowed by words and choices.

import { html } from "../../practice/screen/svg.js";
import { say, wordsAt } from "../../practice/music/words.js";
import { plain } from "../plain.js";
import { PatternRow } from "./pattern_row.js";

const $ = (id) => document.getElementById(id);
const GROUPS = ["fits", "changes", "cannot"];
const FIRST = { fits: 10, changes: 5, cannot: 3 }; // rows that a group begins with
const FEWEST = 3; // rows of those that fit, where few are of the drums' style
const WAYS = { ArrowDown: 1, ArrowUp: -1 };

export class Finder {
  #rows = new Map(); // by kind and name
  #open = new Set(); // groups that are shown whole
  #here = null; // the row that Tab leads to
  #fields = {};
  #order = null; // of the list as it was sorted: the pattern's name to its place and its group

  /** context: see PatternsView. view: the PatternsView, which chooses. */
  constructor(context, view) {
    Object.assign(this, { context, view, kind: "" });
    $("finder-lists").addEventListener("keydown", (event) => this.#goByKey(event));
    for (const way of ["focusin", "click"]) {
      $("finder-lists").addEventListener(way, ({ target }) => this.#visit(target.closest("li")));
    }
  }

  focus() {
    const title = $("finder-title");
    title.focus({ preventScroll: true });
    const isLow = title.getBoundingClientRect().top > innerHeight / 3; // with little room for the list under it
    title.scrollIntoView({ block: isLow ? "start" : "nearest" });
  }

  /** Has the list sorted for the form as it is, the next time it is shown; until then every row keeps its place. */
  sortAnew() {
    this.#order = null;
  }

  show(kind, told, now) {
    const isOther = kind !== this.kind;
    Object.assign(this, { kind, told, now });
    if (isOther) this.#begin();
    this.#sort();
    this.#showOwn();
    if (this.#fields.tempo) this.#fields.tempo.options[1].textContent = say("band.find.this_tempo", { tempo: told.tempo });
    this.#list();
  }

  /** Notes where the row stands that was used last; returns what brings it back there. */
  held() {
    const place = this.#here?.querySelector(".acts");
    const { top, bottom } = place?.getBoundingClientRect() ?? {};
    if (!place?.checkVisibility() || bottom < 0 || top > innerHeight) return () => {};
    return () => {
      if (place.isConnected) scrollBy({ top: place.getBoundingClientRect().top - top, behavior: "instant" });
    };
  }

  /** The chosen ones first, then as the server has them. */
  #sort() {
    if (this.#order) return;
    const { kind, told } = this;
    const isPlayed = ({ name }) => told.played[kind].includes(name);
    const sorted = [...told.patterns[kind]].sort((one, other) => isPlayed(other) - isPlayed(one));
    this.#order = new Map(sorted.map((pattern, place) => [pattern.name, { place, group: pattern.suits, isNear: pattern.near || isPlayed(pattern) }]));
  }

  #groupOf(name) {
    return this.#order.get(name).group;
  }

  /** The search for another player's patterns. */
  #begin() {
    const { kind, told } = this;
    this.#open.clear();
    this.sortAnew();
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
    this.sortAnew();
    this.#sort();
    this.#showOwn();
    this.#list();
  }

  get #isNarrow() {
    return Object.values(this.#fields).some(({ value }) => value.trim());
  }

  /** Says how many are found, where something is looked for. */
  #count(number) {
    const words = this.#isNarrow ? say(`band.find.count.${number === 1 ? "one" : "many"}`, { number }) : "";
    if ($("finder-count").textContent !== words) $("finder-count").textContent = words;
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
    if (told.patterns[kind].some(({ name, suits }) => suits !== this.#groupOf(name))) {
      hints.push(say("band.choose.as_opened"));
      acts.push(this.#act("sort", () => this.#narrow()));
    }
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

  /** Lists what is found. */
  #list() {
    const place = ({ name }) => this.#order.get(name).place;
    const found = this.told.patterns[this.kind].filter((pattern) => this.#suits(pattern)).sort((one, other) => place(one) - place(other));
    const focused = document.activeElement?.closest("#finder-lists") ? document.activeElement : null;
    const shown = GROUPS.map((group) => this.#group(group, found.filter(({ name }) => this.#groupOf(name) === group)));
    const none = html("p", { class: "hint" }, say("band.find.none"));
    $("finder-lists").replaceChildren(...(found.length ? shown.filter(Boolean) : [none]));
    if (focused?.isConnected) focused.focus({ preventScroll: true });
    else if (focused) this.focus();
    this.#rove();
    this.#count(found.length);
  }

  #suits(pattern) {
    const wanted = Object.fromEntries(Object.entries(this.#fields).map(([name, input]) => [name, input.value]));
    const words = plain(wanted.search).split(/\s+/);
    const text = plain(this.#textOf(pattern));
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

  /** All words by which a pattern is found: its own, those that sheets have for it, and who plays it. */
  #textOf(pattern) {
    const { title, about, name, meter, feel, called } = pattern;
    const feels = wordsAt("feels");
    const player = say(`band.players.${this.kind}`);
    return [title, about, name, player, meter, feels[feel] ?? "", ...called, ...this.#styles(pattern), ...(pattern.with ?? [])].join(" ");
  }

  #styles(pattern) {
    return this.told.styles.filter(([name]) => pattern.styles.includes(name)).map(([, title]) => title);
  }

  #group(group, patterns) {
    if (!patterns.length) return null;
    const first = this.#first(group, patterns);
    const rows = patterns.slice(0, this.#open.has(group) ? Infinity : first).map((pattern) => this.#row(pattern).element);
    const id = `finder-${group}`;
    const heading = html("h4", { id }, say(`band.find.groups.${group}`));
    const list = html("ul", { "aria-labelledby": id, "aria-describedby": "finder-keys" }, ...rows);
    const left = patterns.length - rows.length;
    return html("section", { class: `group ${group}` }, heading, list, ...(left > 0 ? [this.#more(group, first, patterns.length)] : []));
  }

  /** How many rows a group begins with; of those that fit, the ones of the drums' style, where nothing is looked for. */
  #first(group, patterns) {
    if (group !== "fits" || this.#isNarrow) return FIRST[group];
    const near = patterns.filter(({ name }) => this.#order.get(name).isNear).length;
    return Math.min(Math.max(near, FEWEST), FIRST[group]);
  }

  #more(group, first, number) {
    const button = html("button", { type: "button", class: "quiet" }, say("band.find.more", { number }));
    button.addEventListener("click", () => {
      this.#open.add(group);
      this.#list();
      const rows = $("finder-lists").querySelectorAll(`.${group} li`);
      this.#visit(rows[first]);
      rows[first]?.querySelector("button").focus();
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
