// Opens the page: a link as it was set, else with the last settings of this form on this device and
// the student's own instrument. What was set can be put back to how it came, and forth again.

import { chosenIn } from "../music/moves.js";
import { Settings } from "../music/settings.js";
import { Kept } from "./kept.js";

const LAST = "settings";
/** The settings that belong to the student on all pages: what is played, its tuning, the hand, the reader. */
const OWN = ["shape", "tuning", "leftHanded", "written"];

export class Opened {
  /** settings: as the page came, changed when it is opened. */
  constructor(settings) {
    this.settings = settings;
    this.device = new Kept("device");
    this.page = new Kept(settings.track);
    this.other = new Settings(settings.track); // to read a fragment without setting it
    this.usual = this.#read(""); // the fragment of the page without a link
    this.before = null; // the settings that were put back to how the page came, as a fragment
  }

  /**
   * Opens an address. fragment: its part after "#". state: that of the browser's history, which tells
   * the page's own addresses from those of links.
   */
  open(fragment, state) {
    const said = fragment.replace(/^#/, "");
    const isOurs = typeof state?.came === "string";
    this.came = isOurs ? state.came : said;
    this.isLink = said !== "" && !isOurs;
    this.before = null;
    this.settings.readFragment(said || this.page.get(LAST, ""));
    if (!said) this.#takeOwn();
    this.seen = this.#own();
    this.asItCame = this.#read(this.came);
  }

  /** What the browser's history keeps with an address of ours. */
  get state() {
    return { came: this.came };
  }

  /** Whether the settings are those that the page came with. */
  get isAsItCame() {
    return this.settings.toFragment() === this.asItCame;
  }

  /** Whether the student's own instrument, hand or reader is another than those that are set. */
  get isForOthers() {
    this.#read(this.settings.toFragment());
    this.#takeOwn(this.other);
    return OWN.some((name) => this.other[name] !== this.settings[name]);
  }

  /** The settings with the tempo and the key that were set, whatever a machine has made of them since. */
  get fragment() {
    return this.settings.toFragment(chosenIn(this.settings));
  }

  /** Keeps the settings, and those of the student's own that were changed. */
  keep() {
    const own = this.#own();
    for (const name of OWN) if (own[name] !== this.seen[name]) this.#keepOwn(name, own[name]);
    this.seen = own;
    const last = this.fragment;
    this.page.set(LAST, last === this.usual ? null : last);
  }

  /** Puts the settings back to how the page came. */
  putBack() {
    this.before = this.settings.toFragment();
    this.#become(this.came);
  }

  /** Puts them to how they were before that. */
  putForth() {
    this.#become(this.before);
    this.before = null;
  }

  /** Sets the student's own instrument, tuning, hand and reader. */
  makeMine() {
    this.#takeOwn();
    this.seen = this.#own();
  }

  /** Puts the settings back to how the page came, without a way forth: all that was kept is forgotten. */
  forget() {
    this.before = null;
    this.#become(this.came);
  }

  #become(fragment) {
    this.settings.readFragment(fragment);
    this.seen = this.#own();
  }

  /** A fragment as the page itself would write it. */
  #read(fragment) {
    this.other.readFragment(fragment);
    return this.other.toFragment();
  }

  #own() {
    return Object.fromEntries(OWN.map((name) => [name, this.settings[name]]));
  }

  #keepOwn(name, value) {
    if (name !== "tuning") return this.device.set(name, value);
    const tunings = this.device.get("tunings", {});
    return this.device.set("tunings", { ...tunings, [this.settings.neck.instrument]: value });
  }

  #takeOwn(settings = this.settings) {
    const { device } = this;
    const shape = device.get("shape", "");
    if (settings.shapes.includes(shape)) settings.setShape(shape);
    const tuning = device.get("tunings", {})[settings.neck.instrument];
    if (settings.tuningsOf(settings.neck.instrument).includes(tuning)) settings.tuning = tuning;
    settings.leftHanded = device.get("leftHanded", settings.leftHanded);
    const reader = device.get("written", "");
    if (settings.track.readers.some(([name]) => name === reader)) settings.written = reader;
  }
}
