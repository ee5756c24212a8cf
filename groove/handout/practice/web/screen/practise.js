// The practice plan: steps with their minutes and what to listen for, and a ladder of tempi; a tick for
// each that is done.

import { onForget } from "../kept/kept.js";
import { html } from "./svg.js";
import { Ticks } from "./ticks.js";
import { guideIn } from "../music/track.js";
import { say } from "../music/words.js";

const $ = (id) => document.getElementById(id);

/** The steps of the plan for the instrument that is set, in its key and for its reader. */
export function stepsOf(settings) {
  const { track, key, written } = settings;
  const hands = settings.onNeck ? "guitar" : settings.shape === "keyboard" ? "keyboard" : "none";
  return guideIn(track, key, written).plans[hands];
}

/** The title of a step with its minutes: "One position, 4 min". */
export function stepTitle([title, , minutes]) {
  return minutes ? say("practise.step", { title, minutes: say("session.minutes", { minutes }) }) : title;
}

export class PractiseView {
  /** reached: the highest tempi. setTempo: called with the tempo of a rung that is pressed. */
  constructor(settings, reached, setTempo) {
    Object.assign(this, { settings, reached, setTempo, ticks: new Ticks(settings.track) });
    $("tempo-words").replaceChildren(...settings.track.tempoWords.map((words) => html("p", {}, words)));
    $("clear-ticks").addEventListener("click", () => {
      this.ticks.clear();
      this.#write();
    });
    onForget(() => {
      this.#write();
      this.refresh();
    });
    this.#showDone();
  }

  /** Shows the plan in the key, for the reader and the instrument that are set, and the tempo. */
  refresh() {
    const { key, written, shape, tempo } = this.settings;
    const asked = `${key} ${written} ${shape}`;
    if (this.shown !== asked) this.#write();
    this.shown = asked;
    for (const rung of $("ladder").querySelectorAll("button")) {
      rung.setAttribute("aria-pressed", String(Number(rung.textContent) === tempo));
    }
    this.showReached();
  }

  /** Says to which tempo the student has come, in this key and in others. */
  showReached() {
    const { key, track } = this.settings;
    const tempi = this.reached.all;
    const others = [...tempi].filter(([other]) => other !== key).sort(([one], [other]) => one - other);
    const listed = others.map(([other, tempo]) => say("kept.reached_key", { key: track.keys[other].sign, tempo }));
    const words = [
      tempi.has(key) ? say("kept.reached", { key: track.keys[key].sign, tempo: tempi.get(key) }) : "",
      listed.length ? say("kept.reached_others", { keys: listed.join(", ") }) : "",
    ];
    $("reached").textContent = words.filter(Boolean).join(" ");
    $("reached").hidden = !tempi.size;
  }

  /** Writes the plan with its ladder and ticks. */
  #write() {
    const { track, key, written, tempo } = this.settings;
    const guide = guideIn(track, key, written);
    $("session").textContent = guide.session;
    $("steps").replaceChildren(...stepsOf(this.settings).map((step, n) => this.#step(step, n)));
    $("ladder").replaceChildren(...guide.ladder.map((rung) => this.#rung(rung, tempo)));
    this.#showDone();
  }

  #step(step, number) {
    const [, words, , listen] = step;
    const label = html("label", { class: "check" }, this.#box(`step ${number}`), " ", html("b", {}, stepTitle(step)));
    const heard = listen ? html("p", { class: "listen" }, html("b", {}, say("session.listen")), ` ${listen}`) : "";
    return html("li", {}, label, html("p", {}, words), heard);
  }

  #rung(rung, tempo) {
    const button = html("button", { type: "button", "aria-label": say("practise.rung", { tempo: rung }) }, String(rung));
    button.setAttribute("aria-pressed", String(rung === tempo));
    button.addEventListener("click", () => this.setTempo(rung));
    return html("li", {}, button, this.#box(`tempo ${rung}`, say("practise.rung_done", { tempo: rung })));
  }

  #box(tick, words = null) {
    const box = html("input", { type: "checkbox", "aria-label": words });
    box.checked = this.ticks.has(tick);
    box.addEventListener("change", () => {
      this.ticks.set(tick, box.checked);
      this.#showDone();
    });
    return box;
  }

  #showDone() {
    $("clear-ticks").hidden = !this.ticks.on.size;
  }
}
