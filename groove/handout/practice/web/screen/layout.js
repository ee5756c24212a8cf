// The layout of the page: the play view, the music stand or the whole page; as the screen has room, or as
// the student says. In the first two all panels are in a drawer, which a button opens over the chart.

import { onKey } from "../kept/keys.js";
import { VIEWS } from "../music/settings.js";
import { say } from "../music/words.js";
import { html } from "./svg.js";

const PHONE = "(max-width: 33.99rem), (max-height: 29.99rem) and (max-width: 61.99rem)";
const TABLET = "(max-width: 61.99rem), (pointer: coarse) and (max-width: 90rem)";

const $ = (id) => document.getElementById(id);

export class Layout {
  /** panels: a Panels. changed: called when another view is chosen, shown: when another one is shown. */
  constructor(settings, panels, { changed, shown }) {
    Object.assign(this, { settings, panels, changed, shown, view: null, isOpen: false });
    this.screens = [PHONE, TABLET].map((query) => matchMedia(query));
    for (const screen of this.screens) screen.addEventListener("change", () => this.refresh());
    const choices = ["fits", ...VIEWS].map((view) => html("option", { value: view }, say(`view.choices.${view}`)));
    $("view").append(...choices);
    $("view").addEventListener("change", () => this.choose(VIEWS.includes($("view").value) ? $("view").value : null));
    $("more").addEventListener("click", () => this.openDrawer(!this.isOpen));
    addEventListener("keydown", (event) => this.#onKey(event));
    onKey("v", "view.next", () => this.next());
    onKey("o", "view.open", () => this.openDrawer(!this.isOpen), { when: () => this.view !== "page" });
  }

  /** The view that suits the screen. */
  get usual() {
    return VIEWS[this.screens.findIndex((screen) => screen.matches)] ?? VIEWS.at(-1);
  }

  /** Chooses a view; null for the one that suits the screen. */
  choose(view) {
    this.settings.view = view;
    this.changed();
  }

  /** Goes on to the next view, and says to a screen reader which one it is. */
  next() {
    const view = VIEWS[(VIEWS.indexOf(this.view) + 1) % VIEWS.length];
    this.choose(view === this.usual ? null : view);
    $("said").textContent = say("view.choice", { field: say(`view.choices.${view}`) });
  }

  /** Shows the view that is set. */
  refresh() {
    $("view").value = this.settings.view ?? "fits";
    const view = this.settings.view ?? this.usual;
    if (view === this.view) return;
    this.view = view;
    const hasDrawer = view !== "page";
    document.documentElement.dataset.view = view;
    document.documentElement.classList.toggle("small", hasDrawer);
    if (!hasDrawer) this.#showDrawer(false);
    this.panels.showIn(hasDrawer);
    if (hasDrawer) $("view-line").before($("about"));
    else document.querySelector("header").append($("about"));
    this.shown();
  }

  /** Opens the drawer and goes there, or closes it and comes back to its button. */
  openDrawer(isOpen) {
    this.#showDrawer(isOpen);
    if (isOpen) $("drawer").focus({ preventScroll: true });
    else $("more").focus();
  }

  /** Unfolds a panel and goes there, in the drawer where there is one. */
  showPanel(name) {
    if (this.view !== "page" && !this.isOpen) this.#showDrawer(true);
    this.panels.set(name, true);
    $(name).scrollIntoView({ block: "start" });
    $(name).querySelector("h2 button").focus({ preventScroll: true });
  }

  #showDrawer(isOpen) {
    this.isOpen = isOpen;
    document.documentElement.toggleAttribute("data-drawer", isOpen);
    $("more").setAttribute("aria-expanded", String(isOpen));
    $("more").textContent = say(isOpen ? "view.less" : "view.more");
    this.shown();
  }

  #onKey(event) {
    if (event.key !== "Escape" || !this.isOpen || document.querySelector("dialog[open]")) return;
    this.openDrawer(false);
  }
}
