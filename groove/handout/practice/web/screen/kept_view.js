// The panel of what stays on the device: it says so, and forgets all of it after one question.

import { Kept, onForget } from "../kept/kept.js";
import { say } from "../music/words.js";
import { html } from "./svg.js";

const $ = (id) => document.getElementById(id);

export class KeptView {
  constructor() {
    this.device = new Kept("device");
    this.question = this.#question();
    document.body.append(this.question);
    $("forget").addEventListener("click", () => this.question.showModal());
    onForget(() => ($("kept-said").textContent = say("kept.forgotten")));
    this.refresh();
  }

  refresh() {
    const words = say(this.device.isKept ? "kept.about" : "kept.not_kept");
    if ($("kept-about").textContent !== words) $("kept-about").textContent = words;
  }

  #question() {
    const button = (id, words, act) => {
      const made = html("button", { type: "button", id }, say(words));
      made.addEventListener("click", () => {
        this.question.close();
        act();
      });
      return made;
    };
    return html(
      "dialog",
      { id: "forget-question", "aria-labelledby": "forget-asked" },
      html("p", { id: "forget-asked" }, say("kept.question")),
      html("div", { class: "fields" }, button("forget-no", "kept.no", () => {}), button("forget-yes", "kept.yes", () => this.device.forget())),
    );
  }
}
