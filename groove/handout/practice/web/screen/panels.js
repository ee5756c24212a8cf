// The panels of the page: each folds under its heading, which is a button. They are folded in one way on the
// whole page and in another in the drawer.

import { html } from "./svg.js";

export class Panels {
  constructor(sections) {
    this.panels = new Map([...sections].map((section) => [section.id, fold(section)]));
    this.open = new Set();
    this.others = new Set(); // those that are open in the drawer while the page is shown, and the other way round
    for (const [name, { section, button }] of this.panels) {
      if (section.hasAttribute("data-open")) this.open.add(name);
      button.addEventListener("click", () => this.set(name, !this.open.has(name)));
    }
    this.inDrawer = false;
    this.#show();
  }

  /** Opens or folds a panel. */
  set(name, isOpen) {
    if (isOpen) this.open.add(name);
    else this.open.delete(name);
    this.#show();
  }

  /** Folds the panels as they were last in the drawer, or on the page. */
  showIn(drawer) {
    if (drawer === this.inDrawer) return;
    this.inDrawer = drawer;
    [this.open, this.others] = [this.others, this.open];
    this.#show();
  }

  #show() {
    for (const [name, { button, body }] of this.panels) {
      button.setAttribute("aria-expanded", String(this.open.has(name)));
      body.hidden = !this.open.has(name);
    }
  }
}

/** Makes a button of a panel's heading, and puts all the rest into an element that it hides. */
function fold(section) {
  const heading = section.querySelector("h2");
  const body = html("div", { id: `${section.id}-body`, class: "panel-body" });
  for (const node of [...section.childNodes]) if (node !== heading) body.append(node);
  const button = html("button", { type: "button", class: "fold", "aria-controls": body.id }, ...heading.childNodes);
  heading.append(button);
  section.append(body);
  return { section, button, body };
}
