// The student's settings, and their form as the fragment of a link: "#key=Eb&tempo=84&bars=9-12".

import { usualHand } from "./hands.js";
import { changedMachine, machinePairs, readMachine } from "./machine.js";
import { listeningIn, listeningPairs, usualListening } from "./listening.js";
import { pitchClass } from "./names.js";
import { scaleChoices } from "./shown.js";
import { guideIn, solosOf, tonicIn } from "./track.js";
import { MOST_ROUNDS, Wishes, within } from "./wishes.js";

const MOST_FASTER = 100; // or slower, below 0
const HIGHEST_FRET = 12;
/** The highest volume of a part; 1 is its place in the mix. */
export const LOUDEST = 1.4;

/** The place of one hand for all chords. */
export const USUAL = "usual";
/** The five positions, the home position first. */
export const FIVE = ["1", "2", "3", "4", "5"];

/** The choices of what a screen reader says while the band plays. */
export const TOLD = ["chords", "rounds", "nothing"];

/** The layouts of the page, for a phone, a tablet and a larger screen. */
export const VIEWS = ["play", "stand", "page"];

export class Settings extends Wishes {
  constructor(track) {
    super(track);
    this.tunings = track.necks.tunings;
    this.instruments = [...new Set(Object.values(this.tunings).map(({ instrument }) => instrument))];
    this.shapes = [...this.instruments, "keyboard", "staff", "off"];
    this.scales = scaleChoices(track, track.home, track.reader);
    [[this.usualScale]] = this.scales; // the first that the guide recommends
    this.usual = new Map(); // usual positions, by tuning and tonic
    this.reset();
  }

  reset() {
    super.reset();
    const { track } = this;
    Object.assign(this, {
      told: "chords",
      written: track.reader,
      shape: track.shape,
      tuning: track.necks.tuning,
      leftHanded: track.leftHanded,
      scale: this.usualScale,
      place: track.place, // "usual", or the number of one of the five positions
      fret: track.fret, // of the first finger; null: as `place` says
      view: null, // one of VIEWS; null: as the screen has room
      ...usualListening(),
    });
  }

  /** Whether a neck is drawn. */
  get onNeck() {
    return this.instruments.includes(this.shape);
  }

  /** The neck that is drawn. */
  get neck() {
    return this.tunings[this.tuning];
  }

  /** The names of the tunings of an instrument; none for keys. */
  tuningsOf(shape) {
    return Object.keys(this.tunings).filter((name) => this.tunings[name].instrument === shape);
  }

  setShape(shape) {
    this.shape = shape;
    const names = this.tuningsOf(shape);
    if (names.length && !names.includes(this.tuning)) this.tuning = names[0];
  }

  /** The fret of the first finger in a key: the student's, else that of the place that is chosen. */
  position(key) {
    return this.fret ?? this.positionAt(this.place, key);
  }

  /** The fret of the first finger at a place: one of the five positions, else that of one hand for all chords. */
  positionAt(place, key) {
    const five = this.neck.five?.[pitchClass(tonicIn(this.track, key, this.written))];
    return five?.[place - 1] ?? this.#usualPosition(key);
  }

  #usualPosition(key) {
    const { track, tuning, written } = this;
    const name = `${tuning} ${key} ${written}`;
    if (!this.usual.has(name)) {
      const materials = new Map();
      const { chords } = guideIn(track, key, written);
      for (const [, , , quality, , distinct] of track.chords) {
        const { root } = chords[distinct];
        materials.set(distinct, new Set(track.qualities[quality].tones.map(([fifths]) => pitchClass(root + fifths))));
      }
      this.usual.set(name, usualHand(this.neck, [...materials.values()]));
    }
    return this.usual.get(name);
  }

  setFaster(step) {
    if (Number.isFinite(step)) this.faster = within(Math.round(step * 10) / 10, -MOST_FASTER, MOST_FASTER);
  }

  setMachine(changes) {
    this.machine = changedMachine(this.machine, changes);
  }

  /** The settings as a link has them; with another tempo and key where these are given. */
  toFragment({ tempo, key } = this) {
    const { track } = this;
    const loud = this.parts.filter((part) => this.volume[part] !== 1);
    const pairs = [
      ["key", track.keys[key].name],
      ["tempo", tempo],
      ["bars", this.wholeForm ? null : `${this.from}-${this.to}`],
      ["countin", this.countIn === track.countIn > 0 ? null : this.countIn ? "on" : "off"],
      ["tuning", this.tuningNote === (track.tuningNote !== null) ? null : "off"],
      ["rounds", this.#roundsSaid()],
      ["files", this.forEver && this.rounds !== track.rounds ? this.rounds : null],
      ["faster", this.faster === track.faster ? null : this.faster],
      ["next", this.nextKey === track.nextKey ? null : this.nextKey],
      ...machinePairs(this.machine),
      ["for", this.written === track.reader ? null : this.written],
      ["show", this.shape],
      ["strings", this.tuning === track.necks.tuning ? null : this.tuning],
      ["hand", this.leftHanded === track.leftHanded ? null : this.leftHanded ? "left" : "right"],
      ["scale", this.scale === this.usualScale ? null : this.scale],
      ["place", this.onNeck && this.place !== track.place ? this.place : null],
      ["fret", this.onNeck ? this.fret : null], // null while it follows the place
      ["told", this.told === "chords" ? null : this.told],
      ["solo", this.solo === track.solo ? null : this.solo],
      ["view", this.view],
      ...listeningPairs(this),
      ["silent", this.parts.filter((part) => this.muted.has(part)).join(",") || "none"],
      ["volume", loud.map((part) => `${part}:${Math.round(100 * this.volume[part])}`).join(",") || null],
    ];
    const kept = pairs.filter(([, value]) => value !== null);
    return kept.map(([name, value]) => `${name}=${encodeURIComponent(value)}`).join("&");
  }

  /** The rounds as a link has them: null where they are as usual. */
  #roundsSaid() {
    const { forEver, rounds, usuallyForEver, track } = this;
    if (forEver) return usuallyForEver ? null : "on";
    return !usuallyForEver && rounds === track.rounds ? null : rounds;
  }

  /** Sets what a fragment says; all that it leaves out or that can't be read is as the page opens. */
  readFragment(fragment) {
    this.reset();
    const said = new URLSearchParams(fragment.replace(/^#/, ""));
    const number = (name) => (said.has(name) ? Number(said.get(name) || NaN) : NaN);
    const key = this.keyNamed(said.get("key") ?? "");
    if (key >= 0) this.key = key;
    this.setTempo(number("tempo"));
    const bars = /^(\d+)(?:-(\d+))?$/.exec(said.get("bars") ?? "");
    if (bars) this.setLoop(Number(bars[1]), Number(bars[2] ?? bars[1]));
    if (said.get("rounds") === "on") this.forEver = true;
    if (["on", "off"].includes(said.get("countin"))) this.countIn = said.get("countin") === "on";
    if (said.get("tuning") === "off") this.tuningNote = false;
    for (const name of ["rounds", "files"]) {
      if (!(number(name) >= 1)) continue;
      this.forEver = name === "files";
      this.rounds = within(Math.round(number(name)), 1, MOST_ROUNDS);
    }
    this.setFaster(number("faster"));
    const known = (choices, name) => choices.some(([choice]) => choice === said.get(name));
    if (solosOf(this.track).includes(said.get("solo"))) this.solo = said.get("solo");
    this.machine = readMachine(said);
    if (known(this.track.cycles, "next")) this.nextKey = said.get("next");
    if (known(this.track.readers, "for")) this.written = said.get("for");
    if (this.shapes.includes(said.get("show"))) this.setShape(said.get("show"));
    if (Object.hasOwn(this.tunings, said.get("strings"))) this.tuning = said.get("strings");
    if (this.onNeck && this.neck.instrument !== this.shape) this.setShape(this.shape);
    if (["left", "right"].includes(said.get("hand"))) this.leftHanded = said.get("hand") === "left";
    if (this.scales.some(([scale]) => scale === said.get("scale"))) this.scale = said.get("scale");
    if ([USUAL, ...FIVE].includes(said.get("place"))) this.place = said.get("place");
    if (number("fret") >= 1) this.fret = within(Math.round(number("fret")), 1, HIGHEST_FRET);
    if (TOLD.includes(said.get("told"))) this.told = said.get("told");
    if (VIEWS.includes(said.get("view"))) this.view = said.get("view");
    Object.assign(this, listeningIn(said));
    if (said.has("silent")) {
      const silent = said.get("silent").split(",");
      this.muted = new Set(this.parts.filter((part) => silent.includes(part)));
    }
    for (const one of (said.get("volume") ?? "").split(",")) {
      const [part, percent] = one.split(":");
      if (this.parts.includes(part) && percent >= 0) this.volume[part] = within(Number(percent) / 100, 0, LOUDEST);
    }
  }

  /** The number of a key from its name in any spelling, "Eb", "eb" or "D#m"; -1 if it is none. */
  keyNamed(name) {
    const match = /^([A-G])([#b♯♭]?)(m?)$/.exec(name.trim().replace(/^[a-g]/, (letter) => letter.toUpperCase()));
    if (!match) return -1;
    const sign = "#♯".includes(match[2] || "?") ? 7 : match[2] ? -7 : 0;
    return pitchClass("FCGDAEB".indexOf(match[1]) - 1 + sign);
  }
}
