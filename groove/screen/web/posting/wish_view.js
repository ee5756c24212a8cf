// The choice of what is made, as ticks in groups: sound, what is watched, keys, tempos, for whom.

import { html } from "../../practice/screen/svg.js";
import { say, wordsAt } from "../../practice/music/words.js";

const SOUND = ["stems", "without_each", "preview"];
const OWN_TEMPO = "tempos";

export class WishView {
  #ticks = new Map(); // by name and value, "audio mp3"
  #lists = {}; // select elements by name
  #tempos = null;
  #keys = [];
  #shown = "";

  /** changed: called after each change of what is chosen. */
  constructor(place, changed) {
    this.place = place;
    this.changed = changed;
    place.addEventListener("change", () => this.#turned());
  }

  /** Shows what can be chosen, and what is: that of before where there is none, or that it still has. */
  show(choices, wish) {
    const text = JSON.stringify(choices);
    const chosen = wish ?? this.wish;
    if (text !== this.#shown) this.#build(choices);
    this.#shown = text;
    this.#take(chosen);
    this.#turned(false);
  }

  /** What is chosen, as the server reads it. */
  get wish() {
    const some = (name) =>
      [...this.#ticks].filter(([place, tick]) => place.startsWith(`${name} `) && tick.checked).map(([place]) => place.split(" ")[1]);
    const is = (name) => this.#ticks.get(`is ${name}`).checked;
    return {
      keys: some("keys").map(Number),
      tempos: this.#tempos.value,
      audio: some("audio"),
      readers: some("readers"),
      video: some("video"),
      ...Object.fromEntries(["stems", "without_each", "preview", "cover", "text"].map((name) => [name, is(name)])),
      ...Object.fromEntries(Object.entries(this.#lists).map(([name, list]) => [name, list.value])),
    };
  }

  #build(choices) {
    const focused = document.activeElement?.id;
    this.#ticks.clear();
    this.#keys = choices.keys;
    const lacks = (what) => choices.lacking.includes(what);
    const parts = [
      this.#group("sound", [
        ...choices.audio.map((each) => this.#tick("audio", each, say(`posting.sound.${each}`))),
        ...SOUND.map((each) => this.#tick("is", each, say(`posting.sound.${each}`))),
      ]),
      this.#group("watch", [
        ...choices.video.map((each) => this.#tick("video", each, say(`posting.watch.${each}`), lacks("video"))),
        this.#lacking("video", lacks("video")),
        this.#list("show", "posting.watch.show", choices.show, "posting.watch.shows"),
        this.#tick("is", "cover", say("posting.watch.cover"), lacks("cover")),
        this.#lacking("cover", lacks("cover")),
        this.#list("theme", "posting.watch.theme", choices.theme, "posting.watch.themes"),
        this.#tick("is", "text", say("posting.watch.text")),
      ]),
      this.#group("keys", [this.#allKeys(choices.keys), ...choices.keys.map(([key, words]) => this.#tick("keys", key, words))]),
      this.#group(OWN_TEMPO, [this.#tempoField(choices.tempo)]),
      this.#group("readers", [
        html("p", { class: "hint" }, say("posting.readers.hint")),
        ...choices.readers.map(([name, words]) => this.#tick("readers", name, capital(words))),
        this.#list("paper", "posting.readers.paper", choices.paper, "posting.readers.papers"),
      ]),
    ];
    this.place.replaceChildren(...parts);
    if (focused) document.getElementById(focused)?.focus();
  }

  #group(name, children) {
    const legend = html("legend", {}, say(`posting.${name}.legend`));
    return html("fieldset", { id: `wish-${name}` }, legend, ...children.filter(Boolean));
  }

  #tick(name, value, words, isLacking = false) {
    const input = html("input", { type: "checkbox", id: `wish-${name}-${value}`, disabled: isLacking });
    this.#ticks.set(`${name} ${value}`, input);
    return html("label", { class: "tick" }, input, html("span", {}, words));
  }

  #lacking(what, isLacking) {
    return isLacking && html("p", { class: "hint" }, say(`posting.watch.lacking_${what}`));
  }

  #list(name, label, values, words) {
    const options = values.map((value) => html("option", { value }, wordsAt(words)[value]));
    const list = html("select", { id: `wish-${name}` }, ...options);
    this.#lists[name] = list;
    return html("div", { class: "field", "data-list": name }, html("label", { for: list.id }, say(label)), list);
  }

  #allKeys([own, ...others]) {
    const all = html("button", { type: "button", id: "all-keys" }, say("posting.keys.all"));
    const only = html("button", { type: "button", id: "own-key" }, say("posting.keys.own", { key: own[1] }));
    all.addEventListener("click", () => this.#choose([own, ...others]));
    only.addEventListener("click", () => this.#choose([own]));
    return html("p", { class: "run-buttons" }, all, only);
  }

  #choose(keys) {
    for (const [key] of this.#keys) this.#ticks.get(`keys ${key}`).checked = keys.some(([each]) => each === key);
    this.#turned();
  }

  #tempoField(own) {
    const hint = html("p", { class: "hint", id: "tempos-hint" }, say("posting.tempos.hint", { tempo: own }));
    const before = this.#tempos?.value ?? "";
    this.#tempos = html("input", { id: "wish-tempos-field", autocomplete: "off", "aria-describedby": "tempos-hint" });
    this.#tempos.value = before;
    this.#tempos.addEventListener("input", () => this.changed());
    const label = html("label", { for: this.#tempos.id }, say("posting.tempos.label"));
    return html("div", {}, html("div", { class: "field" }, label, this.#tempos), hint);
  }

  #take(wish) {
    for (const [place, tick] of this.#ticks) {
      const [name, value] = place.split(" ");
      const isChosen = name === "is" ? wish[value] : wish[name].map(String).includes(value);
      tick.checked = isChosen && !tick.disabled;
    }
    if (document.activeElement !== this.#tempos) this.#tempos.value = wish.tempos;
    for (const [name, list] of Object.entries(this.#lists)) list.value = wish[name];
  }

  /** Shows the choices that have an effect. */
  #turned(isNews = true) {
    const { audio, video, cover } = this.wish;
    for (const name of ["stems", "without_each"]) this.#ticks.get(`is ${name}`).closest("label").hidden = !audio.length;
    this.place.querySelector("[data-list=show]").hidden = !video.length;
    this.place.querySelector("[data-list=theme]").hidden = !video.length && !cover;
    if (isNews) this.changed();
  }
}

function capital(words) {
  return words.slice(0, 1).toUpperCase() + words.slice(1);
}
