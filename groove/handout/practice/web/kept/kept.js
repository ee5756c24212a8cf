// Keeps values on the device between two visits, by names: of the device itself, and of one form. Where
// the browser keeps nothing, or may not, they last as long as the page is open.

const OURS = "groove ";
const fallen = new Map(); // values that could not be kept, as JSON by their names in the store
const forgetting = [];
let broken = false;

/** Calls `act` when the student has all forgotten that is kept. */
export function onForget(act) {
  forgetting.push(act);
}

export class Kept {
  /** place: "device", or the form by its title and version. */
  constructor(place) {
    this.place = place === "device" ? place : `${JSON.stringify(place.title)} ${place.version}`;
    if (!broken) broken = !canKeep();
  }

  /** Whether the device keeps what is set. */
  get isKept() {
    return !broken;
  }

  /** A value; `fallback` where there is none, or one of another kind. */
  get(name, fallback = null) {
    return valueOf(this.#read(this.#full(name)), fallback);
  }

  /** Keeps a value that JSON can hold; null takes it away. */
  set(name, value) {
    const full = this.#full(name);
    if (value === null) {
      fallen.delete(full);
      attempt(() => localStorage.removeItem(full));
      return;
    }
    const text = JSON.stringify(value);
    broken = !attempt(() => localStorage.setItem(full, text));
    if (broken) fallen.set(full, text);
    else fallen.delete(full);
  }

  /** The values whose names begin so, by their names. */
  all(beginning, fallback = null) {
    const end = ` ${this.place}`;
    const found = new Map();
    for (const full of allNames()) {
      if (!full.startsWith(OURS + beginning) || !full.endsWith(end)) continue;
      found.set(full.slice(OURS.length, -end.length), valueOf(this.#read(full), fallback));
    }
    return found;
  }

  /** Forgets all that the pages of this program keep on the device, of every form. */
  forget() {
    for (const full of allNames()) attempt(() => localStorage.removeItem(full));
    fallen.clear();
    for (const act of forgetting) act();
  }

  #full(name) {
    return `${OURS}${name} ${this.place}`;
  }

  #read(full) {
    if (fallen.has(full)) return fallen.get(full);
    let text = null;
    attempt(() => (text = localStorage.getItem(full)));
    return text;
  }
}

function allNames() {
  const names = new Set(fallen.keys());
  attempt(() => Object.keys(localStorage).forEach((name) => names.add(name)));
  return [...names].filter((name) => name.startsWith(OURS));
}

/** Whether the browser keeps anything; nothing is left of the trial. */
function canKeep() {
  const trial = `${OURS}trial`;
  return attempt(() => {
    localStorage.setItem(trial, "1");
    localStorage.removeItem(trial);
  });
}

/** Does something with the store, and returns whether that was possible. */
function attempt(act) {
  try {
    act();
    return true;
  } catch {
    return false;
  }
}

/** What JSON holds, if it is of the kind of the fallback; null is of any kind. */
function valueOf(text, fallback) {
  let value = null;
  attempt(() => (value = JSON.parse(text)));
  if (value === null) return fallback;
  const kind = (one) => (Array.isArray(one) ? "array" : typeof one);
  return fallback === null || kind(value) === kind(fallback) ? value : fallback;
}
