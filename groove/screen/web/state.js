// The form as the server has it, and the edits on their way there, one after the other.

import { isUntouched, writtenIn } from "./touched.js";

const REST = 50; // ms without a keystroke after which what is typed is sent
const TYPING = 250; // ms after a keystroke in which another one may come
const AGAIN = 1000; // ms between two tries while the server doesn't answer

export class FormState {
  #waiting = [];
  #sending = null; // a promise while edits are on their way
  #typed = null; // the edit that waits until the typing rests
  #timer = 0;
  #typedAt = -Infinity; // ms, of the last keystroke
  #heard = 0; // the newest version that the server has told of
  #acts = { changed: (version) => this.#changedThere(version) };

  /**
   * changed: called with each new state, once no edit is on its way. told: called with what became of the
   * connection and of an edit: "there" or "gone", "made", "conflict", "failed", or "refused" with the server's
   * words; and with what was written in the edit.
   */
  constructor({ changed, told }) {
    Object.assign(this, { changed, told, now: null, isThere: true });
  }

  /** Gets the state, and goes on to follow it. */
  async open() {
    await this.refresh();
    this.#follow();
    const look = () => document.visibilityState === "visible" && this.refresh();
    document.addEventListener("visibilitychange", look);
    addEventListener("focus", look);
  }

  /** Gets the state anew. */
  async refresh() {
    try {
      const answer = await fetch("state");
      this.#reached(answer.ok);
      if (answer.ok) this.#take(await answer.json());
    } catch {
      this.#reached(false);
    }
  }

  /** Sends an edit, after what was typed before it. */
  edit(asked) {
    if (asked.step && this.#typed?.step === asked.step) this.forget();
    this.flush();
    return this.#send("edit", asked);
  }

  /** Sends an edit once the typing rests; `step` names the edits of one field, the last of which counts. */
  type(asked, rest = REST) {
    if (this.#typed?.step !== asked.step) this.flush();
    this.#typed = asked;
    this.#typedAt = performance.now();
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => this.flush(), rest);
  }

  /** Sends at once what has been typed. */
  flush() {
    clearTimeout(this.#timer);
    const typed = this.#typed;
    this.#typed = null;
    if (typed) this.#send("edit", typed);
  }

  /** Forgets what has been typed since it was sent last. */
  forget() {
    clearTimeout(this.#timer);
    this.#typed = null;
  }

  /** Asks for "undo", "redo", "take-from-disk" or "keep-over-disk". */
  ask(path) {
    this.flush();
    return this.#send(path, {});
  }

  /** Whether another keystroke may come at once. */
  get isTyping() {
    return performance.now() - this.#typedAt < TYPING;
  }

  /** Whether something typed is not yet kept. */
  get isBehind() {
    return this.#sending !== null || this.#typed !== null;
  }

  /** Resolves once nothing waits any more. */
  #send(path, asked) {
    const [, ...later] = this.#waiting; // the first is on its way
    const last = later.at(-1);
    if (last && asked.step && last.asked.step === asked.step) last.asked = asked;
    else this.#waiting.push({ path, asked });
    this.#sending ??= this.#sendAll();
    return this.#sending;
  }

  async #sendAll() {
    while (this.#waiting.length) await this.#sendOne(this.#waiting[0]);
    this.#sending = null;
    if (!this.#typed) this.changed(this.now);
    if (this.#heard > this.now.version) this.refresh();
  }

  async #sendOne({ path, asked }) {
    const body = JSON.stringify({ ...asked, version: this.now.version });
    try {
      const options = { method: "POST", headers: { "content-type": "application/json" }, body };
      const answer = await fetch(path, options);
      if (answer.status === 404) throw new Error("another server is there now");
      const found = answer.status < 500 ? await answer.json() : {};
      this.#reached(true);
      this.#waiting.shift();
      const news = { 200: "made", 409: "", 422: "refused" }[answer.status] ?? "failed";
      if (news) this.told(news, found.trouble, writtenIn(asked));
      if (answer.status === 409) this.#resolve({ path, asked }, found.state);
      if (answer.ok) this.now = found;
    } catch {
      this.#reached(false);
      await new Promise((over) => setTimeout(over, AGAIN));
    }
  }

  /**
   * Another window was quicker. Edits of places that it left as they were are sent again; the first other one, and
   * what was done after it for the form as it was, is lost, which is told with what was written.
   */
  #resolve(refused, state) {
    const before = this.now;
    const edits = [refused, ...this.#waiting, ...(this.#typed ? [{ path: "edit", asked: this.#typed }] : [])];
    const canBeMade = ({ path, asked }) => path === "edit" && isUntouched(asked, before, state);
    const end = edits.findIndex((each) => !canBeMade(each));
    this.now = state;
    this.forget();
    this.#waiting = end < 0 ? edits : edits.slice(0, end);
    if (end >= 0) this.told("conflict", "", edits.slice(end).map(({ asked }) => writtenIn(asked)).filter(Boolean).join(" – "));
  }

  #take(state) {
    if (this.now && (this.isBehind || state.version < this.now.version)) return;
    this.now = state;
    this.changed(state);
  }

  #follow() {
    const events = new EventSource("events");
    events.onmessage = ({ data }) => {
      const [word, ...rest] = data.split(" ");
      this.#acts[word]?.(rest.join(" "));
    };
    events.onopen = () => this.isThere || this.refresh();
    events.onerror = () => this.#reached(false);
  }

  /** Calls `act` with what follows a word each time the server tells it. */
  on(word, act) {
    this.#acts[word] = act;
  }

  /** The form has another version on the server, or the file has been changed where none is named. */
  #changedThere(named) {
    const version = named ? Number(named) : Infinity;
    if (named) this.#heard = Math.max(this.#heard, version);
    if (version > this.now.version && !this.#sending) this.refresh();
  }

  #reached(isThere) {
    if (isThere === this.isThere) return;
    this.isThere = isThere;
    this.told(isThere ? "there" : "gone");
    if (!isThere) this.#knock();
  }

  /** Tries again until the server answers. */
  #knock() {
    setTimeout(async () => {
      if (this.isThere) return;
      if (!this.#sending) await this.refresh();
      if (!this.isThere) this.#knock();
    }, AGAIN);
  }
}

let steps = 0;
const window = Math.random().toString(36).slice(2);

/** A name for the edits that are one step to undo. */
export function newStep() {
  return `${window}-${(steps += 1)}`;
}
