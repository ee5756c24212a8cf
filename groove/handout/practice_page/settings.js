// What the student has set, and the same as the fragment of a link: "#key=Eb&tempo=84&bars=9-12".

import { pitchClass } from "./names.js";

export const SLOWEST = 40;
export const FASTEST = 240;
const MOST_ROUNDS = 99;
const MOST_FASTER = 20;
const HIGHEST_FRET = 12;

/** Semitones up from one round's key to the next. */
export const KEY_STEPS = { stay: 0, fourths: 5, fifths: 7, up: 1, down: 11 };
/** For whom the chart can be written: concert pitch, B♭ and E♭ instruments. */
export const WRITTEN = ["C", "Bb", "Eb"];
export const SHAPES = ["off", "guitar", "bass", "keyboard"];

export class Settings {
  constructor(track) {
    this.track = track;
    this.parts = [...track.parts.map((part) => part.name), "click"];
    this.reset();
  }

  reset() {
    Object.assign(this, {
      key: this.track.home,
      tempo: this.track.tempo,
      from: 1,
      to: this.track.bars,
      countIn: true,
      forEver: true,
      rounds: this.track.choruses,
      faster: 0,
      nextKey: "stay",
      written: "C",
      shape: "guitar",
      fret: 5,
      volume: Object.fromEntries(this.parts.map((part) => [part, 1])),
      muted: new Set(["click"]),
    });
  }

  get wholeForm() {
    return this.from === 1 && this.to === this.track.bars;
  }

  setTempo(tempo) {
    if (Number.isFinite(tempo)) this.tempo = within(Math.round(tempo * 10) / 10, SLOWEST, FASTEST);
  }

  setBars(from, to) {
    if (!Number.isFinite(from) || !Number.isFinite(to)) return;
    const [low, high] = from <= to ? [from, to] : [to, from];
    this.from = within(Math.round(low), 1, this.track.bars);
    this.to = within(Math.round(high), 1, this.track.bars);
  }

  /** What is set for the next round when one is over. */
  roundOver() {
    this.setTempo(this.tempo + this.faster);
    this.key = (this.key + KEY_STEPS[this.nextKey]) % 12;
  }

  /** The volume at which a part's bus stands, 0 if it is silent. */
  loudness(part) {
    if (part === "count-in") return this.volume.click;
    return this.muted.has(part) ? 0 : this.volume[part];
  }

  toFragment() {
    const said = [
      ["key", this.track.keys[this.key].name],
      ["tempo", this.tempo],
      ["bars", this.wholeForm ? null : `${this.from}-${this.to}`],
      ["countin", this.countIn ? null : "off"],
      ["rounds", this.forEver ? null : this.rounds],
      ["faster", this.faster || null],
      ["next", this.nextKey === "stay" ? null : this.nextKey],
      ["for", this.written === "C" ? null : this.written],
      ["show", this.shape],
      ["fret", this.shape === "guitar" || this.shape === "bass" ? this.fret : null],
      ["silent", [...this.muted].join(",") || "none"],
    ];
    const kept = said.filter(([, value]) => value !== null);
    return kept.map(([name, value]) => `${name}=${encodeURIComponent(value)}`).join("&");
  }

  /** Sets what a fragment says; what can't be read is left as it is. */
  readFragment(fragment) {
    const said = new URLSearchParams(fragment.replace(/^#/, ""));
    const number = (name) => (said.has(name) ? Number(said.get(name)) : NaN);
    const key = this.keyNamed(said.get("key") ?? "");
    if (key >= 0) this.key = key;
    this.setTempo(number("tempo"));
    const bars = /^(\d+)(?:-(\d+))?$/.exec(said.get("bars") ?? "");
    if (bars) this.setBars(Number(bars[1]), Number(bars[2] ?? bars[1]));
    if (said.has("countin")) this.countIn = said.get("countin") !== "off";
    if (number("rounds") >= 1) {
      this.forEver = false;
      this.rounds = within(Math.round(number("rounds")), 1, MOST_ROUNDS);
    }
    if (number("faster") >= 0) this.faster = within(number("faster"), 0, MOST_FASTER);
    if (said.get("next") in KEY_STEPS) this.nextKey = said.get("next");
    if (WRITTEN.includes(said.get("for"))) this.written = said.get("for");
    if (SHAPES.includes(said.get("show"))) this.shape = said.get("show");
    if (number("fret") >= 1) this.fret = within(Math.round(number("fret")), 1, HIGHEST_FRET);
    if (said.has("silent")) {
      const silent = said.get("silent").split(",");
      this.muted = new Set(this.parts.filter((part) => silent.includes(part)));
    }
  }

  /** The number of a key from its name, however it is spelled; -1 if it is none. */
  keyNamed(name) {
    const match = /^([A-G])([#b♯♭]?)(m?)$/.exec(name.trim());
    if (!match) return -1;
    const sign = "#♯".includes(match[2] || "?") ? 7 : match[2] ? -7 : 0;
    return pitchClass("FCGDAEB".indexOf(match[1]) - 1 + sign);
  }
}

function within(value, least, most) {
  return Math.max(least, Math.min(most, value));
}
