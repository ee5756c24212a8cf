// Two bars heard once at the press of a button, which says so and stops them at the next press.

import { say } from "../../practice/music/words.js";

const LEAD_SECONDS = 0.01;
const WAIT_MS = 150; // without sound, after which the button says that it waits

export class Audition {
  #context = null;
  #current = null; // what is heard or on its way

  /** listen: the ListenView, whose music makes room. told: called with what is wrong, "" once all is well. */
  constructor({ listen, told }) {
    Object.assign(this, { listen, told });
  }

  /** A button that plays what `wish` returns when it is pressed. title: what is heard, in words. */
  button(title, wish) {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "hear";
    made.title_ = title;
    this.#label(made, "hear");
    made.addEventListener("click", () => this.#press(made, wish));
    return made;
  }

  /** Stops what is heard. */
  stop() {
    const { source, button, abort } = this.#current ?? {};
    this.#current = null;
    abort?.abort();
    if (source) {
      source.onended = null;
      source.stop();
    }
    if (button) this.#label(button, "hear");
  }

  async #press(button, wish) {
    const isOn = this.#current?.button === button;
    this.stop();
    if (isOn) return;
    if (this.listen.listening.playing) this.listen.playOrStop();
    const current = { button, abort: new AbortController(), source: null, pressed: performance.now() };
    this.#current = current;
    const waits = setTimeout(() => this.#current === current && !current.source && this.#label(button, "wait"), WAIT_MS);
    try {
      this.#context ??= new AudioContext({ latencyHint: "interactive" });
      const awake = this.#context.resume();
      const sound = await fetchedSound({ ...wish(), ...this.#setNow() }, current.abort.signal);
      const decoded = await this.#context.decodeAudioData(sound);
      await awake;
      if (this.#current !== current) return;
      this.#play(current, decoded);
      this.told("");
    } catch (error) {
      if (this.#current !== current) return; // another was pressed, or this one again
      this.stop();
      this.told(error instanceof Refusal ? error.message : "failed");
    } finally {
      clearTimeout(waits);
    }
  }

  /** Tempo and key, where others than the form's are set beside Play. */
  #setNow() {
    const { listening } = this.listen;
    if (!listening.music) return {};
    const { music, sounding, own } = listening;
    const tempo = sounding.tempo === own.tempo ? {} : { tempo: sounding.tempo };
    return sounding.key === own.key ? tempo : { ...tempo, key: music.keys[sounding.key][0] };
  }

  #play(current, decoded) {
    const source = this.#context.createBufferSource();
    source.buffer = decoded;
    source.connect(this.#context.destination);
    source.onended = () => this.#current === current && this.stop();
    source.start(this.#context.currentTime + LEAD_SECONDS);
    current.source = source;
    /** Milliseconds from the last press to its sound, and its samples, for tests. */
    this.last = { delay: performance.now() - current.pressed, decoded };
    this.#label(current.button, "stop");
    this.#makeRoom(current);
  }

  /** Stops when the form is played. */
  #makeRoom(current) {
    if (this.#current !== current) return;
    if (this.listen.listening.playing) this.stop();
    else requestAnimationFrame(() => this.#makeRoom(current));
  }

  #label(button, what) {
    button.textContent = say(`band.hear.${what}`);
    const said = what === "stop" ? "stop_said" : "hear_said";
    button.setAttribute("aria-label", say(`band.hear.${said}`, { title: button.title_ }));
    button.classList.toggle("sounds", what === "stop");
    button.setAttribute("aria-busy", String(what === "wait"));
  }
}

/** The server's words where it refuses. */
class Refusal extends Error {}

/** A WAV file from the server. */
async function fetchedSound(wish, signal) {
  const body = JSON.stringify(wish);
  const answer = await fetch("band/hear", { method: "POST", headers: { "content-type": "application/json" }, body, signal });
  if (answer.ok) return answer.arrayBuffer();
  throw answer.status === 422 ? new Refusal((await answer.json()).trouble) : new Error("failed");
}
