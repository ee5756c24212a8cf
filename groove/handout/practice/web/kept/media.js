// The keys for media and the lock screen of the device (W3C Media Session). Browsers show a page there that
// plays a media element, not one that plays through Web Audio alone: so a silent one goes along.

import { wavHead } from "../files/wav_file.js";

const SILENCE = { channels: 1, rate: 8000, frames: 80000 }; // ten seconds; shorter ones count as a mere signal
const BYTES_A_FRAME = 2;

export class Media {
  /**
   * acts: what the keys do, by the names of the standard. interrupted: called when the device ends the
   * silence, as another program's sound or a headphone that is pulled out does.
   */
  constructor(acts, interrupted) {
    this.session = navigator.mediaSession ?? null;
    this.interrupted = interrupted;
    this.element = null;
    this.plays = false;
    for (const [name, act] of Object.entries(acts)) this.#bind(name, act);
  }

  /**
   * Shows whether the music plays. It is called first from a press; before that nothing is shown, and once
   * it has played, a key for media begins it again.
   */
  show(plays) {
    if (!this.session || (!plays && !this.element)) return;
    this.plays = plays;
    this.session.playbackState = plays ? "playing" : "paused";
    if (plays) this.#silence().play().catch(() => {});
    else this.element.pause();
  }

  /**
   * Tells what plays, unless it is told already. words: {title, artist, album}. position: {duration, position}
   * in seconds, of what goes round; null where that has no end.
   */
  tell(words, position) {
    if (!this.session) return;
    const asked = JSON.stringify(words);
    if (this.told !== asked && globalThis.MediaMetadata) this.session.metadata = new MediaMetadata(words);
    this.told = asked;
    this.#position(position);
  }

  #position(position) {
    const { duration, position: at } = position ?? {};
    const state = duration > 0 ? { duration, position: Math.max(0, Math.min(duration, at)), playbackRate: 1 } : undefined;
    this.session.setPositionState?.(state);
  }

  #bind(name, act) {
    try {
      this.session?.setActionHandler(name, act);
    } catch {
      // a browser that doesn't know this action
    }
  }

  #silence() {
    if (this.element) return this.element;
    const head = wavHead({ ...SILENCE, info: {} });
    const sound = new Blob([head, new Uint8Array(SILENCE.frames * BYTES_A_FRAME)], { type: "audio/wav" });
    this.element = new Audio(URL.createObjectURL(sound));
    this.element.loop = true;
    this.element.addEventListener("pause", () => this.plays && this.interrupted());
    return this.element;
  }
}
