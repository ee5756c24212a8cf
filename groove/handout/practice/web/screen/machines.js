// The panel of the practice machines: ready ones, their figures, and what doesn't go together; and what
// happens now, beside the transport.

import { onKey } from "../kept/keys.js";
import { CLICKED, hasOwnTurns, readyMachine, setReady, SILENT, silencesNothing } from "../music/machine.js";
import { barAt, settingOf } from "../music/road.js";
import { solosOf } from "../music/track.js";
import { say, sayMany } from "../music/words.js";
import { html } from "./svg.js";

const $ = (id) => document.getElementById(id);
/** The figures of which a change begins the turns anew. */
const OF_TURNS = new Set(["turns", "band", "out", "silent", "outClick", "alone"]);
const PLAIN = "plain"; // the ready machine that is none

export class MachinesView {
  /**
   * changed: called with the kind of a change. tell: called with the name of a short state and its words.
   * announce: called with words for a screen reader while the band plays.
   * judged: called with what the student says of a round: clean or not.
   */
  constructor(settings, { changed, tell, announce, judged }) {
    Object.assign(this, { settings, changed, tell, announce, now: null, own: null, follows: false });
    const { track } = settings;
    this.ready = track.machines.filter(({ figures }) => solosOf(track).includes(figures.solo ?? settings.solo));
    this.last = this.ready.find(({ name }) => name !== PLAIN);
    $("ready-machines").append(...this.ready.map((ready) => this.#button(ready)));
    $("machines").toggleAttribute("data-open", readyMachine(settings)?.name !== PLAIN || goesOn(settings));
    this.fields = [...document.querySelectorAll("[data-machine]")];
    const options = (name, values) => this.#field(name).append(...values.map((value) => this.#option(name, value)));
    options("silent", SILENT);
    options("beats", CLICKED);
    for (const field of this.fields) field.addEventListener("change", () => this.#set(field));
    for (const [id, isClean] of [["clean", true], ["not-clean", false]]) {
      $(id).addEventListener("click", () => judged(isClean));
    }
    onKey("m", "machines.key", () => this.#toggle());
    onKey("c", "machines.clean_key", () => judged(true), { when: () => !$("judge").hidden && !$("clean").hidden });
    onKey("n", "machines.not_clean_key", () => judged(false), { when: () => !$("judge").hidden });
  }

  #field(name) {
    return this.fields.find((field) => field.dataset.machine === name);
  }

  #option(name, value) {
    return html("option", { value }, say(`machines.${name}_choices.${value}`, { beats: backbeatsInWords(this.settings.track) }));
  }

  #button(ready) {
    const told = (what) => this.#told(ready, what);
    const [title, about] = [`ready-${ready.name}`, `ready-${ready.name}-about`];
    const named = { type: "button", "data-ready": ready.name, "aria-labelledby": title, "aria-describedby": about };
    const button = html("button", named, html("b", { id: title }, told("title")), html("span", { id: about }, told("about")));
    button.addEventListener("click", () => this.#choose(ready));
    return button;
  }

  /** The title of a ready machine, or what is said about it. */
  #told({ name, figures }, what) {
    return say(`machines.ready.${name}.${what}`, { ...figures, beats: backbeatsInWords(this.settings.track) });
  }

  #set(field) {
    const name = field.dataset.machine;
    const value = { checkbox: field.checked, number: field.valueAsNumber }[field.type] ?? field.value;
    this.settings.setMachine({ [name]: value });
    this.changed(OF_TURNS.has(name) ? "machine" : "plan");
  }

  #choose(ready) {
    const { settings } = this;
    const { solo } = settings;
    setReady(settings, ready);
    if (settings.solo !== solo) this.changed("solo");
    this.changed("mix");
    this.changed("machine");
  }

  /** Switches the machine that was set last on or off. */
  #toggle() {
    const on = readyMachine(this.settings);
    const isOn = on?.name !== PLAIN;
    if (isOn) this.own = on ? null : this.settings.machine;
    if (isOn) this.#choose(this.ready.find(({ name }) => name === PLAIN));
    else if (this.own) this.#setOwn(this.own);
    else this.#choose(this.last);
    $("said").textContent = say(isOn ? "machines.off" : "machines.on");
  }

  #setOwn(figures) {
    this.settings.setMachine(figures);
    this.changed("machine");
  }

  /** Shows the machine that is set. */
  refresh() {
    const { settings } = this;
    const { machine } = settings;
    const on = readyMachine(settings);
    if (on && on.name !== PLAIN) Object.assign(this, { last: on, own: null });
    for (const button of $("ready-machines").children) button.setAttribute("aria-pressed", String(button.dataset.ready === on?.name));
    for (const field of this.fields) {
      const value = machine[field.dataset.machine];
      if (field.type === "checkbox") field.checked = value;
      else field.value = value;
    }
    const { turns, alone, rest } = machine;
    const needed = { band: turns, out: turns, silent: turns && !alone, outClick: turns && !alone, restClick: rest > 0 };
    for (const [name, isNeeded] of Object.entries(needed)) this.#field(name).closest("label").hidden = !isNeeded;
    const said = clashes(settings).map((name) => say(`machines.said.${name}`)).join(" ");
    if ($("machine-said").textContent !== said) $("machine-said").textContent = said;
    if (!this.follows) this.#tellSet();
  }

  /** Says which machine is set, before the band plays. */
  #tellSet() {
    const on = readyMachine(this.settings);
    const title = on ? this.#told(on, "title") : say("machines.own");
    this.tell("machine", on?.name === PLAIN ? "" : say("machines.set", { title }));
  }

  /** Shows what happens now; place: of the music, with what the machine does now and a beat later. */
  follow({ machine, soon, stage, tick }, ladder) {
    this.follows = true;
    this.tell("machine", inWords(machine));
    if (soon?.name !== this.now && this.settings.told !== "nothing") this.announce(inWords(soon));
    this.now = soon?.name;
    this.#keepStep(ladder, stage, tick);
    this.#announceStep(ladder);
    this.#showLadder(ladder, stage !== "stopped");
  }

  /** Takes away what is shown while the band plays. */
  rest() {
    Object.assign(this, { now: null, follows: false, step: null, shownStep: null });
    this.#tellSet();
    this.#showLadder(null, false);
  }

  /** Keeps the last step to be shown up to the end of the first bar after it. */
  #keepStep({ stepped }, stage, tick) {
    if (stepped !== this.step) Object.assign(this, { step: stepped, shownStep: stepped, hasBegun: false });
    if (!stepped || stage !== "playing") return;
    const { track, from } = this.settings;
    const isFirst = barAt(track, tick) % track.bars === from - 1;
    this.hasBegun ||= isFirst;
    if (this.hasBegun && !isFirst) this.shownStep = null;
  }

  /** Announces the tempo that a round has brought. */
  #announceStep({ before }) {
    const { tempo, told } = this.settings;
    if (before && before !== this.before && tempo !== this.tempo && told !== "nothing") this.announce(say("play.tempo_value", { tempo }));
    Object.assign(this, { before, tempo });
  }

  /** Announces how many rounds are clean, where that has changed. */
  #announceCount(words) {
    if (words && words !== this.counted && this.settings.told !== "nothing") this.announce(words);
    this.counted = words;
  }

  #showLadder(ladder, playing) {
    const { machine } = this.settings;
    const steps = playing && goesOn(this.settings);
    $("judge").hidden = !steps;
    $("clean").hidden = !machine.asked;
    const { heard = null, count = 0 } = ladder ?? {};
    for (const [id, isClean] of [["clean", true], ["not-clean", false]]) $(id).setAttribute("aria-pressed", String(heard === isClean));
    const counted = machine.clean > 1 || machine.asked;
    const of = machine.clean;
    const sofar = this.shownStep ? stepInWords(this.shownStep, of) : say("machines.count", { count, of });
    const words = heard === false ? say("machines.again") : counted ? sofar : "";
    this.tell("clean", steps ? words : "");
    this.#announceCount(steps ? words : "");
  }
}

/** Whether another tempo or key comes after some rounds. */
function goesOn({ faster, nextKey, track }) {
  return faster !== 0 || nextKey !== track.cycles[0][0];
}

/** All rounds that are wanted, and the step that follows, in words: "Clean: 2 of 2, faster by 4". */
function stepInWords({ faster, isOtherKey }, of) {
  const number = Number(Math.abs(faster).toFixed(2));
  const tempo = number ? say(faster > 0 ? "machines.faster" : "machines.slower", { number }) : "";
  const key = isOtherKey ? say("machines.next_key") : "";
  return [say("machines.count", { count: of, of }), tempo, key].filter(Boolean).join(", ");
}

/** What a machine does, in words: "You: 3 bars"; "" for nothing. */
function inWords(told) {
  if (!told) return "";
  return told.left === null ? say(`machines.now.${told.name}`) : sayMany(`machines.now.${told.name}`, told.left);
}

/** The backbeats of the form's metres in words: "2 and 4", with the metres where there are several. */
function backbeatsInWords(track) {
  const settings = track.road ? track.road.settings : [settingOf(track, 0)];
  const found = new Map();
  for (const { meter, beats, backbeats } of settings) {
    const numbers = backbeats.map((tick) => beats.indexOf(tick) + 1);
    const joined = numbers.length === 1 ? numbers[0] : say("machines.and", { first: numbers.slice(0, -1).join(", "), last: numbers.at(-1) });
    found.set(meter.join("/"), joined);
  }
  if (found.size === 1) return [...found.values()][0];
  return [...found].map(([meter, beats]) => say("machines.in_meter", { beats, meter })).join(", ");
}

/** The names of the sentences on what doesn't go together as it is set. */
function clashes(settings) {
  const { machine, solo, loops, forEver, rounds, muted } = settings;
  const found = {
    no_solo: silencesNothing(settings),
    own_turns: machine.turns && hasOwnTurns({ machine, solo }),
    click_stops: machine.turns && machine.alone,
    once: (machine.rest > 0 || machine.recount) && (!loops || (!forEver && rounds === 1)),
    no_click: machine.beats !== "all" && muted.has("click") && !machine.alone && !machine.outClick && !machine.restClick,
    no_step: (machine.clean > 1 || machine.asked) && !goesOn(settings),
  };
  return Object.keys(found).filter((name) => found[name]);
}
