// Tempo and key beside Play: heard at once, and apart from the form until they are written into it.

import { html } from "../../practice/screen/svg.js";
import { say, wordsAt } from "../../practice/music/words.js";

export class AtOnce {
  #keys = ""; // as the choice shows them

  /**
   * place: the element that it fills. listening: a Listening. keep: called with {tempo, key}, what
   * differs from the form's; resolves with whether it is written.
   */
  constructor(place, listening, { keep, announce }) {
    Object.assign(this, { listening, keep, announce, element: place });
    const words = wordsAt("listen.at_once");
    this.tempo = html("input", { id: "heard-tempo", type: "number", step: "1", inputmode: "decimal" });
    this.slider = html("input", { id: "heard-tempo-slider", type: "range", step: "1", "aria-label": words.tempo });
    this.key = html("select", { id: "heard-key" });
    this.words = html("p", { id: "heard-words", role: "status" });
    this.write = html("button", { type: "button", id: "heard-keep" }, words.keep);
    this.back = html("button", { type: "button", id: "heard-back" }, words.back);
    this.acts = html("div", { class: "heard-acts", hidden: true }, this.words, this.write, this.back);
    place.append(
      html("label", { for: "heard-tempo" }, words.tempo),
      this.tempo,
      this.slider,
      html("label", { for: "heard-key" }, words.key),
      this.key,
      this.acts,
    );
    this.tempo.addEventListener("change", () => this.#setTempo(this.tempo.valueAsNumber));
    this.slider.addEventListener("input", () => this.#setTempo(this.slider.valueAsNumber));
    this.key.addEventListener("change", () => this.#setKey(this.key.selectedIndex));
    this.write.addEventListener("click", () => this.#keep());
    this.back.addEventListener("click", () => this.#back());
    this.show();
  }

  /** Shows what is heard; without music yet nothing can be chosen. */
  show() {
    const { music } = this.listening;
    for (const each of [this.tempo, this.slider, this.key]) each.disabled = !music;
    if (!music) return;
    const { sounding: heard, own } = this.listening;
    this.#offer(music.keys);
    const [least, most] = music.track.tempi;
    for (const each of [this.tempo, this.slider]) Object.assign(each, { min: least, max: most });
    if (document.activeElement !== this.tempo || this.tempo.valueAsNumber !== heard.tempo) this.tempo.value = heard.tempo;
    this.slider.value = heard.tempo;
    this.slider.setAttribute("aria-valuetext", say("listen.at_once.beats", { tempo: heard.tempo }));
    this.key.selectedIndex = heard.key;
    this.#showActs(heard, own, music.keys);
  }

  #showActs(heard, own, keys) {
    const differs = heard.tempo !== own.tempo || heard.key !== own.key;
    const words = differs ? say("listen.at_once.form", { tempo: own.tempo, key: keys[own.key][1] }) : "";
    if (this.words.textContent !== words) this.words.textContent = words;
    if (this.acts.hidden === !differs) return;
    if (!differs && this.acts.contains(document.activeElement)) this.tempo.focus(); // the button goes
    this.acts.hidden = !differs;
  }

  /** Writes the keys of the choice, unless they stand there. */
  #offer(keys) {
    const asked = JSON.stringify(keys);
    if (asked === this.#keys) return;
    this.#keys = asked;
    this.key.replaceChildren(...keys.map(([value, title]) => html("option", { value }, title)));
  }

  #setTempo(tempo) {
    if (Number.isFinite(tempo)) this.listening.chooseTempo(tempo);
    this.show();
  }

  #setKey(number) {
    this.listening.chooseKey(number);
    this.show();
  }

  async #keep() {
    const { sounding: heard, own, music } = this.listening;
    const asked = {};
    if (heard.tempo !== own.tempo) asked.tempo = heard.tempo;
    if (heard.key !== own.key) asked.key = music.keys[heard.key][0];
    if (await this.keep(asked)) this.announce(say("listen.at_once.kept"));
  }

  #back() {
    this.listening.chooseTempo(null);
    this.listening.chooseKey(null);
    this.show();
    this.announce(say("listen.at_once.backed"));
  }
}
