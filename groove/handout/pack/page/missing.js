// Says which file of the pack is not there: a track that can't be played, a chart that can't be shown,
// and, on a site, a link that leads nowhere, which the site is asked about before it is followed.

import { filled } from "./shown.js";

const GONE = [404, 410]; // HTTP

export class Missing {
  #place;
  #words;

  /** place: the paragraph that says so, which moves to where it is needed. */
  constructor(place, words) {
    this.#place = place;
    this.#words = words;
  }

  say(address, after) {
    const file = decodeURIComponent(new URL(address, location.href).pathname.split("/").pop());
    after.after(this.#place);
    this.#place.hidden = false;
    this.#place.textContent = filled(this.#words, { file });
  }

  hush() {
    this.#place.hidden = true;
    this.#place.textContent = "";
  }

  watch(page, picture) {
    const image = picture.querySelector("img");
    const lacks = () => {
      picture.hidden = true;
      this.say(image.src, picture);
    };
    image.addEventListener("error", lacks);
    image.addEventListener("load", () => (picture.hidden = false));
    if (image.complete && !image.naturalWidth) lacks();
    if (location.protocol.startsWith("http")) page.addEventListener("click", (event) => this.#follow(event));
  }

  async #follow(event) {
    const link = event.target.closest("a[href]");
    const isPlain = !(event.button || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey);
    if (!isPlain || link?.origin !== location.origin || link.dataset.there) return;
    event.preventDefault();
    this.hush();
    if (await isGone(link.href)) {
      this.say(link.href, link.closest("ul, p") ?? link);
      return;
    }
    link.dataset.there = "yes";
    link.click();
    delete link.dataset.there;
  }
}

async function isGone(address) {
  try {
    return GONE.includes((await fetch(address, { method: "HEAD" })).status);
  } catch {
    return false; // no network: the browser says so itself
  }
}
