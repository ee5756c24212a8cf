// The contents of the pack's folder: by kind, where it is, and the tracks, one at a time.

import { html } from "../../practice/screen/svg.js";
import { say, sayMany } from "../../practice/music/words.js";
import { addressOf, TrackView } from "./track_view.js";

const $ = (id) => document.getElementById(id);

export class MadeView {
  #shown = "";
  #key = null;
  #tempo = null;
  #said = null;

  /** context: what all parts share, see parts.js. */
  constructor(context) {
    Object.assign(this, context);
    this.track = new TrackView($("made-track"), context);
  }

  /**
   * Shows what lies there, null where nothing does; first the track in the form's own key, named in words.
   * isOn: whether it is being made just now.
   */
  show(contents, own, isOn) {
    const text = JSON.stringify([contents, !contents && isOn]);
    if (text === this.#shown) return; // a player goes on
    this.#shown = text;
    this.#key ??= contents?.keys.find(({ words }) => words === own)?.key ?? null;
    this.#said = html("p", { id: "made-said", role: "status" });
    if (!contents) {
      $("made-what").replaceChildren(html("p", { class: "hint" }, say(`posting.made.${isOn ? "not_yet" : "none"}`)));
      this.track.clear();
      return;
    }
    const kinds = contents.kinds.map(([kind, count, size]) => {
      const what = sayMany(`posting.made.kinds.${kind}`, count);
      return html("li", {}, say("posting.made.kind", { what, size }));
    });
    $("made-what").replaceChildren(
      ...noticesOf(contents).map((name) => html("p", { class: "notice" }, say(`posting.made.${name}`))),
      html("ul", { class: "kinds" }, ...kinds),
      html("p", { class: "path" }, say("posting.made.path", { path: contents.path })),
      ...zipOf(contents),
      html("p", { class: "run-buttons" }, ...this.#buttons(contents)),
      this.#said,
      ...this.#choice(contents.keys),
    );
    this.#showTrack(contents.keys);
  }

  /** Stops what is played. */
  hush() {
    for (const player of $("made-track").querySelectorAll("audio, video")) player.pause();
  }

  #buttons({ overview }) {
    const buttons = overview ? ["folder", "overview"] : ["folder"];
    return buttons.map((what) => {
      const words = say(`posting.made.${what === "folder" ? "show" : "overview"}`);
      const button = html("button", { type: "button", id: `open-${what}` }, words);
      button.addEventListener("click", () => this.#open(what));
      return button;
    });
  }

  async #open(what) {
    try {
      const { opened, path } = await this.asked("posting/open", { what });
      const [shown, not] = what === "folder" ? ["shown", "no_folder"] : ["overview_shown", "no_overview"];
      this.#said.textContent = say(`posting.made.${opened ? shown : not}`, { path });
    } catch ({ message }) {
      this.#said.textContent = message;
    }
  }

  /** The choice of a key and a tempo, where there are several. */
  #choice(keys) {
    const playing = keys.filter(({ tracks }) => tracks.length);
    const inKey = playing.find(({ key }) => key === this.#key) ?? playing[0];
    this.#key = inKey?.key ?? null;
    const tempi = inKey?.tracks.map(({ tempo }) => tempo) ?? [];
    if (!tempi.includes(this.#tempo)) this.#tempo = tempi[0] ?? null;
    const choose = (name, options, chosen, take) => {
      const values = options.map(([value, words]) => html("option", { value, selected: value === chosen }, words));
      const list = html("select", { id: `made-${name}` }, ...values);
      list.addEventListener("change", () => {
        take(list.value);
        this.#renew(keys, list.id);
      });
      return html("div", { class: "field" }, html("label", { for: list.id }, say(`posting.made.${name}`)), list);
    };
    if (playing.length < 2 && tempi.length < 2) return [];
    const fields = [
      choose("key", playing.map(({ key, words }) => [key, words]), this.#key, (value) => (this.#key = value)),
      choose("tempo", tempi.map((tempo) => [tempo, String(tempo)]), this.#tempo, (value) => (this.#tempo = Number(value))),
    ];
    return [html("div", { class: "fields", id: "made-choice" }, ...fields)];
  }

  #renew(keys, focused) {
    $("made-choice").replaceWith(...this.#choice(keys));
    $(focused).focus();
    this.#showTrack(keys);
  }

  #showTrack(keys) {
    const inKey = keys.find(({ key }) => key === this.#key);
    const track = inKey?.tracks.find(({ tempo }) => tempo === this.#tempo);
    if (track) this.track.show(track, inKey.papers);
    else this.track.clear();
  }
}

/** What is to be said of a pack: that it is not whole, that the form has changed since. */
function noticesOf({ isWhole, isOlder }) {
  return [...(isWhole ? [] : ["begun"]), ...(isOlder ? ["older"] : [])];
}

/** The way to the zip of everything, with its size, where it is there. */
function zipOf({ zip }) {
  if (!zip) return [];
  const link = html("a", { id: "zip", href: addressOf(zip.path), download: "" }, html("span", {}, say("posting.made.zip")));
  return [html("p", { class: "files" }, link, " ", html("span", { class: "size" }, zip.size))];
}
