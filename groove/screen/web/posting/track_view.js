// The files of one track: players, covers, texts to copy, and its papers.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";

const PLAYED = ["mp3", "ogg", "flac", "wav"]; // as a player prefers them
const SHAPES = ["", "wide", "upright", "square"]; // in the order in which they are shown
const WHOLE = "all"; // the mix of the whole band
const NAMES = { pdf: "PDF", musicxml: "MusicXML" };
const SAVED = ["pdf", "mid", "musicxml"]; // in the order in which they are named
const TEXT = ["title", "long", "tags"];
const TYPES = { mp3: "audio/mpeg", ogg: "audio/ogg", flac: "audio/flac", wav: "audio/wav" };

/** The address of a file of the pack. */
export function addressOf(path) {
  return `posting/files/${path.split("/").map(encodeURIComponent).join("/")}`;
}

export class TrackView {
  #number = 0; // of the track that is shown last

  /** asked: gets JSON. announce: has words read out. */
  constructor(place, { asked, announce }) {
    Object.assign(this, { place, asked, announce });
    place.addEventListener("play", ({ target }) => this.#playOne(target), true);
  }

  /** Shows a track and the papers of its key. */
  async show(track, papers) {
    const number = (this.#number += 1);
    const of = (...kinds) => track.files.filter(({ kind }) => kinds.includes(kind)).sort(byShape);
    const texts = of("post").filter(({ format }) => format === "txt");
    const found = await Promise.all(texts.map(({ path }) => this.#text(path)));
    if (number !== this.#number) return;
    const saved = [...papers, ...of("midi")].filter(({ format }) => SAVED.includes(format));
    saved.sort((one, other) => SAVED.indexOf(one.format) - SAVED.indexOf(other.format));
    const picture = papers.find(({ format }) => format === "svg");
    const parts = [
      ["sounds", [...playable(of("audio")), ...of("preview")].map(soundOf)],
      ["videos", of("video").map((each) => videoOf(each, of("cover")))],
      ["covers", of("cover").map(coverOf)],
      ["texts", found.filter(Boolean).map((text) => this.#copies(text))],
      ["papers", [...(picture ? [chartOf(picture)] : []), html("ul", { class: "files" }, ...saved.map(linkTo))]],
    ];
    const sections = parts
      .filter(([, children]) => children.length)
      .map(([name, children]) => html("div", { class: `made-${name}` }, html("h4", {}, say(`posting.made.${name}`)), ...children));
    this.place.replaceChildren(...sections);
  }

  /** Shows nothing. */
  clear() {
    this.#number += 1;
    this.place.replaceChildren();
  }

  #playOne(target) {
    for (const other of this.place.querySelectorAll("audio, video")) if (other !== target) other.pause();
  }

  async #text(path) {
    try {
      return await this.asked(`posting/text/${path.split("/").map(encodeURIComponent).join("/")}`);
    } catch {
      return null; // it has been removed meanwhile
    }
  }

  #copies(text) {
    const parts = TEXT.filter((name) => text[name]).flatMap((name) => {
      const words = html("p", { class: "to-copy", tabindex: "0", role: "group", "aria-label": say(`posting.made.${name}`) }, text[name]);
      const button = html("button", { type: "button" }, say(`posting.made.copy_${name}`));
      button.addEventListener("click", async () => this.announce(say(`posting.made.${(await isCopied(words)) ? "copied" : "marked"}`)));
      return [html("h5", {}, say(`posting.made.${name}`)), words, button];
    });
    return html("div", {}, ...parts);
  }
}

/** The order of files: the wide ones first, else as they stand in the folder. */
function byShape(one, other) {
  return SHAPES.indexOf(one.shape) - SHAPES.indexOf(other.shape);
}

/** One file of each mix, in the format that plays best here. */
function playable(files) {
  const able = (format) => Boolean(document.createElement("audio").canPlayType(TYPES[format]));
  const best = (format) => (able(format) ? 0 : PLAYED.length) + PLAYED.indexOf(format);
  const mixes = new Map();
  for (const file of files) {
    const before = mixes.get(file.what);
    if (!before || best(file.format) < best(before.format)) mixes.set(file.what, file);
  }
  return [...mixes.values()];
}

function soundOf({ path, what, mix }) {
  const name = mix === WHOLE ? say("posting.made.band") : what;
  const player = html("audio", { controls: true, preload: "none", src: addressOf(path), "aria-label": name });
  return html("div", { class: "sound" }, html("span", {}, name), player);
}

function videoOf({ path, what, shape }, covers) {
  const cover = covers.find((each) => each.shape === shape);
  const poster = cover ? addressOf(cover.path) : null;
  return html("video", {
    controls: true, preload: poster ? "none" : "metadata", playsinline: true, poster, src: addressOf(path),
    "data-shape": shape, "aria-label": what,
  });
}

function coverOf({ path, what, shape }) {
  const alt = say("posting.made.cover", { name: what });
  return html("img", { src: addressOf(path), alt, loading: "lazy", "data-shape": shape });
}

function chartOf({ path, what }) {
  return html("img", { src: addressOf(path), alt: what, loading: "lazy", class: "chart-picture" });
}

function linkTo({ path, what, format, size }) {
  const words = format === "mid" ? what : say("posting.made.file", { name: what, format: NAMES[format] });
  const link = html("a", { href: addressOf(path), target: "_blank", rel: "noopener" }, html("span", {}, words));
  return html("li", {}, link, " ", html("span", { class: "size" }, size));
}

/** Copies an element's text, and returns whether that was possible; if not, the text is marked. */
async function isCopied(element) {
  try {
    await navigator.clipboard.writeText(element.textContent);
    return true;
  } catch {
    getSelection().selectAllChildren(element);
    return false;
  }
}
