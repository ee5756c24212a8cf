// The text to post with the track that is chosen, its cover, and buttons that copy parts of the text.

export class Post {
  #place;
  #data;

  constructor(place, data) {
    this.#place = place;
    this.#data = data;
    for (const button of place.querySelectorAll(".copy")) {
      button.hidden = false;
      button.addEventListener("click", () => this.#copy(button));
    }
  }

  show(key, track) {
    const text = this.#data.posts[`${key.folder} ${track.tempo}`];
    for (const [name, numbers] of Object.entries(text ?? {})) {
      document.getElementById(`post-${name}`).textContent = numbers.map((n) => this.#data.lines[n]).join("\n");
    }
    for (const image of this.#place.querySelectorAll(".cover")) {
      const cover = track.cover(image.dataset.shape);
      if (image.src !== cover.href) image.src = cover.href;
    }
    const links = track.posted.map((link) => link.closest("li").cloneNode(true));
    for (const entry of links) entry.querySelector("a").removeAttribute("aria-label");
    document.getElementById("posted").replaceChildren(...links);
    this.#say("");
  }

  async #copy(button) {
    const part = document.getElementById(button.dataset.copies);
    const { copied, marked } = this.#data.words;
    this.#say("");
    const isCopied = await copyOf(part);
    button.parentElement.after(document.getElementById("copy-said"));
    this.#say(isCopied ? copied : marked);
  }

  #say(words) {
    const place = document.getElementById("copy-said");
    if (place) place.textContent = words;
  }
}

/** Copies an element's text, and returns whether that was possible; if not, the text is marked. */
async function copyOf(element) {
  try {
    await navigator.clipboard.writeText(element.textContent);
    return true;
  } catch {
    // no permission, or a page from a place that the browser doesn't trust
  }
  getSelection().selectAllChildren(element);
  const isCopied = document.execCommand("copy");
  if (isCopied) getSelection().removeAllRanges();
  return isCopied;
}
