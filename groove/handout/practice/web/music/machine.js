// The figures of the practice machines: what is set, within which limits, and how a link says it.

import { OFF, SOLO } from "./track.js";

/** The most bars of rest between repeats, bars of a turn, and clean rounds before a step. */
const MOST = { rest: 16, band: 32, out: 32, clean: 20 };
/** What falls silent in a turn that is the student's: all players, all but the drums, the solo alone. */
export const SILENT = ["band", "pitched", "solo"];
/** The beats that the click sounds on. */
export const CLICKED = ["all", "backbeats", "one"];
/** The solo that is made of calls, each with as many bars for an answer. */
const ANSWERS = "answers";
const WITH_CLICK = "click";
const ASKED = "asked";

/**
 * No machine. rest: bars between repeats; restClick: whether a click sounds in them; recount: whether
 * each repeat is counted in. turns: whether the band plays for `band` bars and then for `out` bars
 * what `silent` says falls silent; outClick: whether a click sounds then. clean: rounds in a row before
 * tempo and key go on; asked: whether only those count that the student calls clean. beats: of the
 * click. alone: whether the click plays without the band.
 */
export const NO_MACHINE = Object.freeze({
  rest: 0,
  restClick: false,
  recount: false,
  turns: false,
  band: 4,
  out: 4,
  silent: "band",
  outClick: false,
  clean: 1,
  asked: false,
  beats: "all",
  alone: false,
});

/** Figures with some of them changed: numbers within their limits, what is unknown left out. */
export function changedMachine(machine, changes) {
  const made = { ...machine };
  for (const [name, value] of Object.entries(changes)) {
    if (name in MOST && Number.isFinite(value)) made[name] = bounded(value, name === "rest" ? 0 : 1, MOST[name]);
    else if (typeof NO_MACHINE[name] === "boolean") made[name] = Boolean(value);
    else if (name === "silent" && SILENT.includes(value)) made.silent = value;
    else if (name === "beats" && CLICKED.includes(value)) made.beats = value;
  }
  return Object.freeze(made);
}

function bounded(value, least, most) {
  return Math.max(least, Math.min(most, Math.round(value)));
}

/** The figures as pairs of a link; a value is null where nothing is said. */
export function machinePairs(machine) {
  const { rest, restClick, recount, turns, band, out, silent, outClick, clean, asked, beats, alone } = machine;
  const joined = (...words) => words.filter((word) => word !== "").join("-");
  return [
    ["rest", rest ? joined(rest, restClick ? WITH_CLICK : "") : null],
    ["recount", recount ? "on" : null],
    ["turns", turns ? joined(band, out, silent, outClick ? WITH_CLICK : "") : null],
    ["clean", clean > 1 || asked ? joined(clean, asked ? ASKED : "") : null],
    ["beats", beats === "all" ? null : beats],
    ["alone", alone ? "on" : null],
  ];
}

/** The figures that a link says, a URLSearchParams; what it leaves out or can't be read is no machine. */
export function readMachine(said) {
  const words = (name) => (said.get(name) ?? "").split("-");
  const found = {};
  const [rest, restClick] = words("rest");
  if (rest >= 1) Object.assign(found, { rest: Number(rest), restClick: restClick === WITH_CLICK });
  const [band, out, silent, outClick] = words("turns");
  if (band >= 1 && out >= 1) {
    Object.assign(found, { turns: true, band: Number(band), out: Number(out), silent, outClick: outClick === WITH_CLICK });
  }
  const [clean, asked] = words("clean");
  if (clean >= 1) Object.assign(found, { clean: Number(clean), asked: asked === ASKED });
  return changedMachine(NO_MACHINE, {
    ...found,
    recount: said.get("recount") === "on",
    beats: said.get("beats"),
    alone: said.get("alone") === "on",
  });
}

/** The settings beside the figures that a ready machine sets, and how the page opens with them. */
const BESIDE = {
  faster: {
    is: (settings, value) => settings.faster === value,
    set: (settings, value) => settings.setFaster(value ?? settings.track.faster),
  },
  solo: {
    is: (settings, value) => settings.solo === value,
    set: (settings, value) => (settings.solo = value ?? settings.track.solo),
  },
  click: {
    is: (settings, value) => settings.muted.has("click") !== value,
    set: (settings, value) => settings.muted[value ? "delete" : "add"]("click"),
  },
};

/** The figures of a ready machine: those that it names, the others as without one. */
function figuresOf(ready) {
  return changedMachine(NO_MACHINE, { ...ready.figures, turns: "band" in ready.figures });
}

/** The ready machine that is set, that with most figures; undefined where they are the student's own. */
export function readyMachine(settings) {
  const size = ({ figures }) => Object.keys(figures).length;
  const bySize = [...settings.track.machines].sort((one, other) => size(other) - size(one));
  return bySize.find((ready) => {
    const figures = figuresOf(ready);
    const beside = Object.keys(BESIDE).filter((name) => name in ready.figures);
    const names = Object.keys(NO_MACHINE).filter((name) => figures.turns || !["band", "out", "silent", "outClick"].includes(name));
    return (
      names.every((name) => settings.machine[name] === figures[name]) &&
      beside.every((name) => BESIDE[name].is(settings, ready.figures[name]))
    );
  });
}

/** Sets a ready machine, and takes back what the one before had set beside its figures. */
export function setReady(settings, ready) {
  const before = readyMachine(settings);
  for (const name of Object.keys(before?.figures ?? {})) BESIDE[name]?.set(settings, undefined);
  settings.machine = figuresOf(ready);
  for (const [name, value] of Object.entries(ready.figures)) BESIDE[name]?.set(settings, value);
}

/** Whether the solo has turns of its own, which no machine changes. */
export function hasOwnTurns({ machine, solo }) {
  return solo === ANSWERS && !machine.alone && (!machine.turns || machine.silent === SOLO);
}

/** Whether the turns that are set silence nothing: they are the soloist's, and no solo plays. */
export function silencesNothing({ machine, solo }) {
  return machine.turns && machine.silent === SOLO && solo === OFF && !machine.alone;
}
