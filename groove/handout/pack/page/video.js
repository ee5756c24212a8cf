// The video of the key and tempo that are chosen, in the shape that suits the screen.

const UPRIGHT = "(max-width: 44rem) and (orientation: portrait)";

export class Video {
  #element;

  constructor(element, missing) {
    this.#element = element;
    element.addEventListener("error", () => missing.say(element.src, element));
  }

  /** Takes a track's video. name: for a screen reader. */
  show(track, name) {
    const video = this.#element;
    const link = suited(track.videos);
    video.setAttribute("aria-label", name);
    if (link.href === video.src) return;
    video.dataset.shape = link.dataset.shape;
    const cover = track.cover(link.dataset.shape);
    if (cover) video.poster = cover.href;
    video.src = link.href;
  }
}

function suited(links) {
  const upright = links.find(({ dataset }) => dataset.shape === "upright");
  return (upright && matchMedia(UPRIGHT).matches && upright) || links[0];
}
