// A field with its label and its mistakes: text, a number or a choice. What is typed is sent once it rests.

import { html } from "../../practice/screen/svg.js";
import { newStep } from "../state.js";

const LONG_REST = 600; // ms; a number that is half typed is often too small
const RESTS = { number: LONG_REST, choice: 0 }; // ms; others rest as usual

let fields = 0;

export class TextField {
  #shown = null;
  #step = "";

  /**
   * send: called with (value, step, rest) for what is typed, null where the field is empty.
   * kind: "text", "long" for several lines, "number" or "choice". choices: pairs of value and title. hint: in words.
   */
  constructor({ label, send, kind = "text", choices = [], className = "", hint = "" }) {
    Object.assign(this, { send, kind, hint });
    const id = `field-${(fields += 1)}`;
    this.input = this.#input(id, choices);
    this.element = html("div", { class: `field ${className}`.trim() }, html("label", { for: id }, label), this.input);
    if (hint) this.element.append(html("p", { class: "hint", id: `${id}-hint` }, hint));
    this.#describe();
    this.input.addEventListener("focus", () => (this.#step = newStep()));
    this.input.addEventListener("input", () => this.#type());
  }

  #input(id, choices) {
    if (this.kind === "long") return html("textarea", { id, rows: 1, autocomplete: "off" });
    if (this.kind !== "choice") {
      const mode = this.kind === "number" ? "decimal" : "text";
      return html("input", { id, type: "text", inputmode: mode, autocomplete: "off", spellcheck: "false" });
    }
    const options = choices.map(([value, title]) => html("option", { value }, title));
    return html("select", { id }, html("option", { value: "" }), ...options);
  }

  #type() {
    this.#shown = this.value;
    this.send(this.value, this.#step || newStep(), RESTS[this.kind]);
  }

  /** What the form file holds for what stands in the field. */
  get value() {
    const text = this.input.value.trim();
    if (!text) return null;
    return this.kind === "number" && /^-?\d+([.,]\d+)?$/.test(text) ? Number(text.replace(",", ".")) : text;
  }

  /** Shows a value; what is being typed stays as it is while it means the same. usual: for an empty field. */
  show(value, usual = "") {
    if (this.kind === "choice") this.input.options[0].textContent = usual;
    else this.input.placeholder = usual;
    const text = value ?? "";
    const isSame = String(this.value ?? "") === String(text);
    if (isSame && this.#shown !== null) return;
    if (this.kind === "choice") this.#offer(String(text));
    this.input.value = String(text);
    this.#shown = this.value;
  }

  /** Adds a value that is not among the choices. */
  #offer(value) {
    if ([...this.input.options].some((option) => option.value === value)) return;
    this.input.append(html("option", { value }, value));
  }

  /** Shows the mistakes of the field. */
  showMistakes(texts) {
    const id = `${this.input.id}-mistake`;
    this.element.querySelector(".mistake")?.remove();
    this.element.classList.toggle("wrong", texts.length > 0);
    this.#describe(texts.length ? id : "");
    if (!texts.length) {
      this.input.removeAttribute("aria-invalid");
      return;
    }
    this.element.append(html("p", { class: "mistake", id }, ...texts.map((text) => html("span", {}, text))));
    this.input.setAttribute("aria-invalid", "true");
  }

  /** Lets a mistake, by its id, and the hint describe the input. */
  #describe(mistake = "") {
    const ids = [mistake, this.hint && `${this.input.id}-hint`].filter(Boolean).join(" ");
    if (ids) this.input.setAttribute("aria-describedby", ids);
    else this.input.removeAttribute("aria-describedby");
  }
}
