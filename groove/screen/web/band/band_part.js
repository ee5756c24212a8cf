// The part of the page for the band: its patterns, found and heard, its instruments, and how it plays.

import { say } from "../../practice/music/words.js";
import { Audition } from "./audition.js";
import { InstrumentsView } from "./instruments_view.js";
import { IntensityView } from "./intensity_view.js";
import { PartsView } from "./parts_view.js";
import { PatternsView } from "./patterns_view.js";
import { TakeView } from "./take_view.js";

const $ = (id) => document.getElementById(id);

export class BandPart {
  #isVisible = false;
  #version = null; // of the form whose patterns are shown
  #ready = null; // a promise while the sounds are made ready

  /** context: what all parts share, see parts.js. */
  constructor(context) {
    Object.assign(this, context);
    const audition = new Audition({ listen: this.listen, told: (words) => this.#tell(words) });
    const heard = { ...context, audition, wholeBand: () => $("whole-band").checked };
    this.audition = audition;
    this.views = [new PatternsView(heard), new InstrumentsView(heard)];
    this.played = [new IntensityView(context), new TakeView(context), new PartsView(context)];
    addEventListener("hashchange", () => this.#look());
  }

  /** Shows a state of the form. */
  show(now) {
    if (this.#isVisible) this.#refresh(now);
  }

  /** Called each time the part becomes visible. */
  opened() {
    this.#isVisible = true;
    this.#refresh(this.state.now);
    this.#ready ??= this.#prepare();
  }

  #look() {
    this.#isVisible = !$("part-band").hidden;
    if (!this.#isVisible) this.audition.stop();
  }

  async #refresh({ version }) {
    if (version === this.#version) return;
    this.#version = version;
    for (const view of this.played) view.show(this.state.now);
    this.views[0].begin(this.state.now);
    try {
      const told = await this.asked("band/patterns");
      if (version === this.#version) for (const view of this.views) view.show(told, this.state.now);
    } catch (error) {
      this.#version = null;
      this.#tell(error instanceof TypeError ? "failed" : error.message);
    }
  }

  async #prepare() {
    $("band-told").textContent = say("band.preparing");
    try {
      await this.asked("band/ready", {});
      if ($("band-told").textContent === say("band.preparing")) $("band-told").textContent = "";
    } catch (error) {
      this.#ready = null;
      this.#tell(error instanceof TypeError ? "failed" : error.message);
    }
  }

  /** Shows what is wrong; an empty word takes it away. */
  #tell(trouble) {
    const words = trouble === "failed" ? say("band.failed") : say("band.trouble", { trouble });
    const isPreparing = $("band-told").textContent === say("band.preparing");
    if (trouble || !isPreparing) $("band-told").textContent = trouble ? words : "";
  }
}
