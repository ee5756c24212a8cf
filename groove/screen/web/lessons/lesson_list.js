// The list of earlier lessons: newest first, found by words, each a way to its page and a start for a new one.

import { html } from "../../practice/screen/svg.js";
import { say, sayMany, wordFor } from "../../practice/music/words.js";
import { plain } from "../plain.js";

const $ = (id) => document.getElementById(id);
const AT_FIRST = 10; // lessons that are shown before "Show more" is pressed
const MORE = 50;
const MANY = 6; // lessons from which on a search is offered

export class LessonList {
  #lessons = [];
  #open = ""; // the file of the lesson that this page is for
  #most = AT_FIRST;
  #copied = null; // the file of the lesson whose copy gets a title now

  /** go: called with the name of a lesson to go there. rename: to rename its file. begin: with a wish for a new one. */
  constructor({ go, rename, begin, announce, choices }) {
    Object.assign(this, { go, rename, begin, announce });
    this.keys = new Map(choices.key);
    const { lang } = document.documentElement;
    const locale = navigator.languages.find((each) => each.startsWith(lang)) ?? lang; // en-GB for en
    this.date = new Intl.DateTimeFormat(locale, { dateStyle: "medium" });
    this.time = new Intl.DateTimeFormat(locale, { timeStyle: "short" });
    $("lesson-search-words").addEventListener("input", () => this.#search());
    $("more-lessons").addEventListener("click", () => this.#more());
  }

  /** Shows the lessons of the folder. open: the file of the one that this page is for. */
  show(lessons, open) {
    const now = JSON.stringify([lessons, open]);
    if (now === this.shown) return;
    this.shown = now;
    [this.#lessons, this.#open] = [lessons, open];
    $("lesson-search").hidden = lessons.length < MANY && !$("lesson-search-words").value;
    this.#draw();
  }

  /** Puts the focus on a lesson. */
  focus(name) {
    this.#control(name, "open")?.focus();
  }

  #search() {
    this.#most = AT_FIRST;
    this.#draw();
  }

  #more() {
    const before = $("lesson-list").children.length;
    this.#most += MORE;
    this.#draw();
    const rows = [...$("lesson-list").children];
    rows[before]?.querySelector("a").focus();
    this.announce(sayMany("lessons.list.shown", rows.length - before));
  }

  /** Draws the lessons that are found; what has the focus, or is typed in, stays. */
  #draw() {
    const words = plain($("lesson-search-words").value).split(/\s+/).filter(Boolean);
    const found = this.#lessons.filter((lesson) => words.every((word) => this.#said(lesson).includes(word)));
    const none = this.#lessons.length ? "lessons.list.no_match" : "lessons.list.none";
    const count = found.length ? sayMany("lessons.list.count", found.length) : say(none);
    if ($("lesson-count").textContent !== count) $("lesson-count").textContent = count;
    $("more-lessons").hidden = found.length <= this.#most;
    const field = document.getElementById("copy-title");
    const { value: typed, selectionStart, selectionEnd } = field ?? {};
    const [focused, control] = this.#focused();
    $("lesson-list").replaceChildren(...found.slice(0, this.#most).map((lesson) => this.#row(lesson, typed)));
    if (focused) this.#control(focused, control)?.focus();
    if (control === "title") document.getElementById("copy-title")?.setSelectionRange(selectionStart, selectionEnd);
  }

  #said({ title, name, key, tempo, feel }) {
    return plain([title, name, key, this.#key(key), tempo, wordFor("feels", feel)].join(" "));
  }

  #key(key) {
    return this.keys.get(key) ?? key;
  }

  /** The file of the lesson that has the focus, and the name of what has it in its row. */
  #focused() {
    const row = document.activeElement?.closest?.("#lesson-list > li");
    return row ? [row.dataset.name, document.activeElement.dataset.control] : [null, null];
  }

  #control(name, control) {
    const row = [...$("lesson-list").children].find((each) => each.dataset.name === name);
    return row?.querySelector(`[data-control="${control}"]`);
  }

  #row(lesson, typed) {
    const { name, title } = lesson;
    const link = html("a", { href: `../${encodeURIComponent(name)}/`, "data-control": "open" }, title);
    link.addEventListener("click", (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey) return; // in a window of its own
      event.preventDefault();
      this.go(name);
    });
    if (name === this.#open) link.setAttribute("aria-current", "true");
    const dots = html("span", { class: "leader", "aria-hidden": "true" });
    const key = lesson.key ? [dots, html("span", { class: "lesson-key" }, this.#key(lesson.key))] : [];
    const line = html("p", { class: "lesson-line" }, link, ...key);
    return html("li", { "data-name": name }, line, html("p", { class: "hint" }, ...this.#facts(lesson)), this.#copy(lesson, typed), ...this.#better(lesson));
  }

  #facts({ name, tempo, feel, changed, mistakes, has_draft, is_empty, packed }) {
    const isOlder = packed && packed < changed;
    const facts = [
      tempo && say("lessons.list.tempo", { tempo }),
      feel && wordFor("feels", feel),
      say("lessons.list.changed", { date: this.#when(changed) }),
      packed && say(`lessons.list.${isOlder ? "packed_before" : "packed"}`, { date: this.#when(packed) }),
    ];
    const marks = [
      name === this.#open && say("lessons.list.open"),
      is_empty && say("lessons.list.empty"),
      !is_empty && mistakes > 0 && sayMany("lessons.list.mistakes", mistakes),
      !is_empty && has_draft && say("lessons.list.draft"),
    ];
    const marked = marks.filter(Boolean).map((words) => html("strong", {}, words));
    return [...facts, ...marked].filter(Boolean).flatMap((each, place) => (place ? [", ", each] : [each]));
  }

  /** The day of a moment, today its time. */
  #when(seconds) {
    const moment = new Date(seconds * 1000);
    const isToday = moment.toDateString() === new Date().toDateString();
    return (isToday ? this.time : this.date).format(moment);
  }

  /** The button for a copy, or the field for its title. */
  #copy({ name, title }, typed) {
    if (this.#copied === name) return this.#copyForm(name, typed ?? this.#nextTitle(title));
    const said = say("lessons.list.duplicate_said", { title });
    const button = html("button", { type: "button", class: "quiet", "data-control": "copy", "aria-label": said }, say("lessons.list.duplicate"));
    button.addEventListener("click", () => {
      this.#copied = name;
      this.#draw();
      const field = document.getElementById("copy-title");
      field.focus();
      field.select();
    });
    return button;
  }

  /** The button that gives the file the name of its title, where it has none of its own. */
  #better({ name, title, better }) {
    if (!better) return [];
    const words = say("lessons.list.rename", { old: name, name: better });
    const button = html("button", { type: "button", class: "quiet rename", "data-control": "rename", "aria-label": `${title}: ${words}` }, words);
    button.addEventListener("click", () => this.rename(name));
    return [button];
  }

  #copyForm(name, title) {
    const input = html("input", { id: "copy-title", type: "text", maxlength: "120", autocomplete: "off", value: title, "data-control": "title" });
    const field = html("div", { class: "field" }, html("label", { for: "copy-title" }, say("lessons.copy.title")), input);
    const make = html("button", { type: "submit", "data-control": "make" }, say("lessons.copy.make"));
    const cancel = html("button", { type: "button", class: "quiet", "data-control": "cancel" }, say("lessons.copy.cancel"));
    const form = html("form", { class: "copy" }, field, make, cancel);
    const leave = () => {
      this.#copied = null;
      this.#draw();
      this.#control(name, "copy")?.focus();
    };
    cancel.addEventListener("click", leave);
    form.addEventListener("keydown", ({ key }) => key === "Escape" && leave());
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      this.begin({ from: "lesson", name, title: input.value });
    });
    return form;
  }

  /** A title that no lesson has: the next number after it. */
  #nextTitle(title) {
    const [, stem, number] = /^(.*?)(?: (\d{1,3}))?$/.exec(title);
    const taken = new Set(this.#lessons.map((lesson) => lesson.title));
    for (let next = Number(number ?? 1) + 1; ; next += 1) {
      const another = say("lessons.copy.another", { title: stem, number: next });
      if (!taken.has(another)) return another;
    }
  }
}
