// The list of the page's keys, in a dialog, and the switch for those that write a sign.

import { areSignsOn, listedKeys, setSigns } from "../kept/keys.js";
import { say, wordFor } from "../music/words.js";
import { html } from "./svg.js";

export class KeysList {
  constructor() {
    this.list = html("dl", { id: "key-list" });
    this.box = html("input", { type: "checkbox", id: "single-keys" });
    this.box.addEventListener("change", () => {
      setSigns(this.box.checked);
      this.#write();
    });
    const close = html("button", { type: "button", class: "close", autofocus: true }, say("keys.close"));
    close.addEventListener("click", () => this.dialog.close());
    this.dialog = html(
      "dialog",
      { id: "keys-dialog", "aria-labelledby": "keys-heading" },
      html("div", { class: "heading" }, html("h2", { id: "keys-heading" }, say("keys.heading")), close),
      this.list,
      html("label", { class: "check" }, this.box, ` ${say("keys.single")}`),
      html("p", { class: "hint" }, say("keys.single_about")),
    );
    document.body.append(this.dialog);
  }

  show() {
    this.box.checked = areSignsOn();
    this.#write();
    if (!this.dialog.open) this.dialog.showModal();
  }

  #write() {
    this.dialog.classList.toggle("signs-off", !areSignsOn());
    this.list.replaceChildren(...listedKeys().map(({ key, words, names }) => line(key, say(words, names))));
  }
}

function line(key, words) {
  return html("div", {}, html("dt", {}, html("kbd", {}, wordFor("keys.names", key))), html("dd", {}, words));
}
