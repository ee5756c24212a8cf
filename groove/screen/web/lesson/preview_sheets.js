// Sheets of paper side by side, or as wide as the window; a page is fetched when it comes into view.

import { html } from "../../practice/screen/svg.js";
import { say } from "../../practice/music/words.js";

const AHEAD = "400px 0px"; // from the window's edges, so that a page is there when one has come to it
const PIXELS = 4; // a mm, for the shape of a page alone

export class PaperSheets {
  #handout = null; // what the server has told of the pages
  #inView = new Set();
  #observer = new IntersectionObserver((entries) => this.#see(entries), { rootMargin: AHEAD });
  /** Called with whether the pages are large now. */
  enlarged = () => {};
  /** Called where a page can't be fetched, as its handout is kept no more. */
  lost = () => {};

  constructor() {
    this.element = html("ol", { class: "paper-sheets", "aria-label": say("preview.printed.list") });
    this.text = html("div", { class: "paper-words" });
    this.words = html("details", {}, html("summary", {}, say("preview.printed.words")), this.text);
    this.words.addEventListener("toggle", () => this.#write());
  }

  /** Shows the pages of a handout; those of the one before stay in sight until theirs are there. */
  show(handout) {
    this.#handout = handout;
    const { pages } = handout;
    while (this.element.children.length > pages.length) this.#drop(this.element.lastElementChild);
    while (this.element.children.length < pages.length) this.#add();
    [...this.element.children].forEach((sheet, place) => {
      sheet.classList.add("waits");
      sheet.lastElementChild.textContent = say("preview.printed.page", { number: place + 1, pages: pages.length });
    });
    for (const sheet of this.#inView) this.#fetch(sheet);
    this.#write();
  }

  /** Makes the pages as wide as the window, or small again; the place where one looks stays in sight. */
  enlarge(sheet = this.#lookedAt()) {
    const isLarge = this.element.classList.toggle("large");
    sheet?.scrollIntoView({ block: "start" });
    this.enlarged(isLarge);
  }

  /** The first page in the window, where one has scrolled past the first line of them. */
  #lookedAt() {
    const sheets = [...this.element.children];
    if (!sheets.length || sheets[0].getBoundingClientRect().top > 0) return null;
    return sheets.find((sheet) => sheet.getBoundingClientRect().bottom > innerHeight / 3);
  }

  #add() {
    const { paper: [wide, high] } = this.#handout;
    const sheet = html("li", {}, html("span", { class: "paper-page" }, blank(wide, high)), html("span", { class: "paper-number" }));
    sheet.firstElementChild.addEventListener("click", () => this.enlarge(sheet));
    this.element.append(sheet);
    this.#observer.observe(sheet);
  }

  #drop(sheet) {
    this.#observer.unobserve(sheet);
    this.#inView.delete(sheet);
    sheet.remove();
  }

  #see(entries) {
    for (const { target, isIntersecting } of entries) {
      if (!isIntersecting) this.#inView.delete(target);
      else if (target.isConnected) {
        this.#inView.add(target);
        if (target.classList.contains("waits")) this.#fetch(target);
      }
    }
  }

  /** Puts the page of a sheet into its place, once it is there and is still the newest. */
  async #fetch(sheet) {
    const handout = this.#handout;
    const place = [...this.element.children].indexOf(sheet);
    const [width, height] = handout.paper.map((length) => Math.round(PIXELS * length));
    const src = `preview/pages/${handout.number}/${place + 1}`;
    const image = html("img", { src, width, height, alt: handout.pages[place].title });
    const isThere = await image.decode().then(() => true, () => false);
    if (handout !== this.#handout || !sheet.isConnected) return;
    if (!isThere) return this.lost();
    sheet.firstElementChild.replaceChildren(image);
    return sheet.classList.remove("waits");
  }

  /** Writes the text of the pages where it is open. */
  #write() {
    if (!this.words.open || !this.#handout) return;
    const { pages } = this.#handout;
    this.text.replaceChildren(...pages.flatMap(({ title, words }) => [html("h4", {}, title), html("pre", {}, words)]));
  }
}

/** An empty page. */
function blank(wide, high) {
  const empty = html("span", { class: "paper-blank" });
  empty.style.aspectRatio = `${wide} / ${high}`;
  return empty;
}
