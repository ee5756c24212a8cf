// The keys of the page: each does one thing, unless it belongs to the field that has the focus, to a
// dialog or to the browser. Keys that write a sign can be switched off.

import { Kept } from "./kept.js";

const SPACE = " ";
const LAST_LATIN = 0x24f; // of Unicode's blocks of Latin letters
const device = new Kept("device");
const bound = new Map(); // by key: {key, words, names, act, repeats, when}

/**
 * Binds a key. key: as KeyboardEvent.key has it, letters small. words: the name of a sentence that says
 * what it does, for the list of keys; names: those in it. repeats: whether it acts again and again while it is held down.
 * when: says whether there is something to do for it; it is not listed else.
 */
export function onKey(key, words, act, { names = {}, repeats = false, when = () => true } = {}) {
  if (bound.has(key)) throw new Error(`two functions for the key ${key}: ${bound.get(key).words}, ${words}`);
  bound.set(key, { key, words, names, act, repeats, when });
}

/** The keys with the names of their sentences: the space bar, then the others in the order in which they were bound. */
export function listedKeys() {
  const there = [...bound.values()].filter(({ when }) => when());
  return [...there.filter(({ key }) => key === SPACE), ...there.filter(({ key }) => key !== SPACE)];
}

/** Whether keys that write a sign do something. */
export function areSignsOn() {
  return device.get("single keys", true);
}

/** Switches keys that write a sign on or off, on this device. */
export function setSigns(on) {
  device.set("single keys", on ? null : false);
}

/** Whether a key writes a sign, as letters, figures and + do; the space bar doesn't count as one. */
function isSign(key) {
  return [...key].length === 1 && key !== SPACE;
}

let byPointer = false; // the control in focus was pressed with a pointer: the space bar is free
let taken = false; // the space bar is down, and was ours

addEventListener("pointerdown", () => (byPointer = true), true);
addEventListener("keydown", (event) => {
  const key = keyOf(event);
  if (key !== SPACE) byPointer = false;
  const found = bound.get(key);
  if (!found || !isFree(event, key) || !found.when()) return;
  if (isSign(key) && !areSignsOn()) return;
  event.preventDefault();
  if (key === SPACE) taken = true;
  if (!event.repeat || found.repeats) found.act();
});
addEventListener("keyup", (event) => {
  if (event.key !== SPACE || !taken) return;
  event.preventDefault(); // some browsers press a button only now
  taken = false;
});

/** The key that is pressed: letters small, whatever the caps lock says, and those of other scripts by their place. */
function keyOf({ key, code, shiftKey }) {
  if (!key || [...key].length > 1) return key;
  const isFarScript = key.codePointAt(0) > LAST_LATIN && key.toLowerCase() !== key.toUpperCase();
  const sign = (isFarScript && /^Key([A-Z])$/.exec(code)?.[1]) || key;
  return shiftKey ? sign : sign.toLowerCase();
}

/** Whether a key belongs to nothing else. */
function isFree(event, key) {
  if (event.defaultPrevented || event.isComposing || event.ctrlKey || event.altKey || event.metaKey) return false;
  if (document.querySelector("dialog[open]")) return false;
  return !isForControl(event.target, key);
}

const WRITTEN_IN = "input:not([type=range], [type=checkbox], [type=radio], [type=button]), select, textarea, [contenteditable]";
const MOVES = new Set(["ArrowLeft", "ArrowRight", "ArrowUp", "ArrowDown", "Home", "End", "PageUp", "PageDown"]);

function isForControl(element, key) {
  if (!element.matches) return false; // the document itself
  if (element.matches(WRITTEN_IN)) return true;
  if (MOVES.has(key)) return element.matches("[type=range], [type=radio]");
  if (key === SPACE && element.matches("[type=checkbox], [type=radio]")) return true;
  if (key === SPACE || key === "Enter") return element.matches("button, a, summary, [type=button]") && !byPointer;
  return false;
}
