// Another take of the same form, and the way back to the one before: the form's number of a take.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";
import { newStep } from "../state.js";
import { TextField } from "../fields/text_field.js";

export class TakeView {
  #before = []; // the takes that were left by the button, the last one last
  #highest = 0; // of all takes that were heard here

  /** context: see parts.js. */
  constructor({ state, announce }) {
    Object.assign(this, { state, announce, seed: 1 });
    const send = (value, step, rest) => state.type({ do: "field", name: "seed", value, step }, rest);
    this.field = new TextField({ label: say("band.another.number"), send, kind: "number" });
    const button = (name, act) => {
      const made = html("button", { type: "button", id: `take-${name}` }, say(`band.another.${name}`));
      made.addEventListener("click", () => made.getAttribute("aria-disabled") !== "true" && act());
      return made;
    };
    this.another = button("more", () => this.#another());
    this.back = button("back", () => this.#back());
    const buttons = html("div", { class: "buttons" }, this.another, this.back);
    const row = html("div", { class: "take-row" }, this.field.element, buttons);
    document.getElementById("take").append(html("p", { class: "hint" }, say("band.another.hint")), row);
  }

  /** Shows the take of a state. */
  show({ fields, facts, mistakes }) {
    this.seed = facts?.played.seed ?? 1;
    this.#highest = Math.max(this.#highest, this.seed);
    this.field.show(fields.seed, String(this.seed));
    this.field.showMistakes(mistakes.filter((each) => !each.of && each.field === "seed").map(({ text }) => text));
    this.#showBack();
  }

  #showBack() {
    this.back.setAttribute("aria-disabled", String(this.#before.length === 0));
  }

  async #another() {
    this.#before.push(this.seed);
    await this.#play(this.#highest + 1);
  }

  async #back() {
    await this.#play(this.#before.pop());
    if (!this.#before.length) this.another.focus();
  }

  async #play(seed) {
    this.#highest = Math.max(this.#highest, seed);
    this.seed = seed; // another press may come before the answer
    this.#showBack();
    this.announce(say("band.another.told", { number: seed }));
    await this.state.edit({ do: "field", name: "seed", value: seed, step: newStep() });
  }
}
