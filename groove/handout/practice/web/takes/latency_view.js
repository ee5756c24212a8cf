// The panel's part for the latency: measured with clicks or taps, set with a slider, kept on the device.

import { say } from "../music/words.js";
import { LONGEST, TAPS } from "./latency.js";
import { measureByClicks, TapMeasure } from "./latency_measure.js";
import { NoMicrophone } from "../sound/microphone.js";

const NAME = "latency"; // in what is kept
const WAYS = ["clicks", "taps", "hand"];
const INPUT_SECONDS = 0.01; // that a browser which doesn't say is late with its microphone

const $ = (id) => document.getElementById(id);

export class LatencyView {
  /** kept: what stays on the device. before: called before clicks sound; false: not now. changed: called with a new latency. */
  constructor(kept, { before, changed }) {
    Object.assign(this, { kept, before, changed, stage: null, tapping: null });
    this.found = this.#keptOne();
    $("latency-clicks").addEventListener("click", () => this.#byClicks());
    $("latency-taps").addEventListener("pointerdown", (event) => this.#pressed(event));
    $("latency-taps").addEventListener("click", (event) => this.#clicked(event));
    addEventListener("keydown", (event) => this.#key(event), true);
    const slide = ({ target }) => this.#set({ seconds: Math.min(LONGEST, Math.max(0, target.valueAsNumber / 1000 || 0)), way: "hand" });
    $("latency-slider").addEventListener("input", slide);
    $("latency-number").addEventListener("change", slide);
    $("latency").addEventListener("toggle", () => this.#show());
    this.#show();
  }

  /** Takes the stage into use, as soon as there is one. */
  useStage(stage) {
    this.stage = stage;
    this.#show();
  }

  /** The latency in seconds; the browser's own estimate before it is measured or set. */
  get seconds() {
    if (this.found) return this.found.seconds;
    const { outputLatency, baseLatency } = this.stage?.context ?? {};
    return Math.min(LONGEST, (outputLatency || baseLatency || 0) + INPUT_SECONDS);
  }

  /** Goes back to the browser's estimate. */
  forget() {
    this.found = null;
    this.#show();
    this.changed();
  }

  #keptOne() {
    const found = this.kept.get(NAME, null);
    const isGood = found && WAYS.includes(found.way) && found.seconds >= 0 && found.seconds <= LONGEST;
    return isGood ? found : null;
  }

  #set(found) {
    this.found = found;
    this.kept.set(NAME, found);
    this.#show();
    this.changed();
  }

  #show() {
    const milliseconds = Math.round(1000 * this.seconds);
    $("latency-slider").value = milliseconds;
    $("latency-slider").setAttribute("aria-valuetext", say("record.latency.value", { milliseconds }));
    if (document.activeElement !== $("latency-number")) $("latency-number").value = milliseconds;
    const words = say(`record.latency.ways.${this.found?.way ?? "guess"}`, { milliseconds });
    $("latency-said").textContent = this.kept.isKept || !this.found ? words : `${words} ${say("record.latency.not_kept")}`;
  }

  async #byClicks() {
    if (!this.stage || this.isBusy || !this.before()) return;
    this.#busy(true);
    const tell = (words) => ($("latency-said").textContent = words);
    tell(say("record.asking"));
    try {
      const result = await measureByClicks(this.stage, (number, all) => tell(say("record.latency.clicking", { number, all })));
      this.#result(result, "clicks");
    } catch (error) {
      tell(error instanceof NoMicrophone ? error.message : say("trouble.silent"));
    }
    this.#busy(false);
  }

  #result(result, way) {
    if (result?.reason) $("latency-said").textContent = say(`record.latency.${result.reason}`);
    else if (result) this.#set({ seconds: Math.min(LONGEST, result.latency), way });
    else this.#show();
  }

  #busy(isBusy) {
    this.isBusy = isBusy;
    for (const id of ["latency-clicks", "latency-slider", "latency-number"]) $(id).toggleAttribute("disabled", isBusy);
    $("latency-taps").toggleAttribute("disabled", isBusy && !this.tapping);
  }

  /** The space bar taps while clicks sound, Escape ends them. */
  #key(event) {
    if (!this.tapping) return;
    if (event.key === "Escape") this.tapping.cancel();
    else if (event.code !== "Space") return;
    else if (!event.repeat) this.#tapped(event);
    event.preventDefault();
    event.stopImmediatePropagation();
  }

  /** A finger taps as soon as it is down. */
  #pressed(event) {
    this.isTap = Boolean(this.tapping);
    if (this.isTap) this.#tapped(event);
  }

  /** A press begins the clicks only when it is over: a browser gives sound no sooner. */
  #clicked(event) {
    const isByKey = event.detail === 0;
    if (isByKey || !this.isTap) this.#tapped(event);
  }

  #tapped(event) {
    if (!this.stage) return;
    if (this.tapping) this.tapping.tap(event.timeStamp);
    else if (!this.isBusy && this.before()) this.#startTaps();
  }

  async #startTaps() {
    const show = (number) => ($("latency-taps").textContent = say("record.latency.tap", { number, all: TAPS }));
    this.tapping = new TapMeasure(this.stage, { tell: show, done: (result) => this.#tapsOver(result) });
    this.#busy(true);
    $("latency-said").textContent = "";
    show(0);
    await this.tapping.start().catch(() => this.tapping?.cancel() ?? ($("latency-said").textContent = say("trouble.silent")));
  }

  #tapsOver(result) {
    this.tapping = null;
    this.#busy(false);
    $("latency-taps").textContent = say("record.latency.taps");
    this.#result(result, "taps");
  }
}
