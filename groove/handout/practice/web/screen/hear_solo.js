// The example solo to listen to: from the bar that is shown, alone or with the band, at a share of the tempo.

import { listeningTo } from "../music/listening.js";
import { barLine } from "../music/road.js";
import { solosOf } from "../music/track.js";
import { say } from "../music/words.js";
import { TabView } from "./tab.js";

const EXAMPLE = "example";
const $ = (id) => document.getElementById(id);

export class HearSolo {
  /** view: knows the key that is shown. start, stop: start and stop the band. */
  constructor(settings, view, { start, stop }) {
    Object.assign(this, { settings, view, start, stop, stage: null, listening: null });
    $("hear-solo-part").hidden = !solosOf(settings.track).includes(EXAMPLE);
    this.tab = new TabView(listeningTo(settings, { alone: false }), $("hear-solo-part"), $("hear-tab"), $("hear-tab-hint"));
    for (const button of document.querySelectorAll("[data-solo]")) {
      button.addEventListener("click", () => this.#press(button.dataset.solo));
    }
  }

  /** Gets what sounds, as soon as it is made. */
  ready(stage) {
    this.stage = stage;
  }

  #press(how) {
    if (!this.stage) return;
    const again = this.listening === how;
    this.listening = again ? null : how;
    this.stage.playBy(again ? this.settings : listeningTo(this.settings, { alone: how === "alone" }));
    if (again && this.started) this.stop();
    if (!again && !this.stage.playing) {
      this.started = true;
      this.start();
    }
    this.refresh();
  }

  /** The band has stopped: what plays next is as the page is set. */
  stopped() {
    this.started = false;
    if (!this.listening) return;
    this.listening = null;
    this.stage.playBy(this.settings);
    this.refresh();
  }

  refresh() {
    const { from } = this.settings;
    $("hear-solo-from").textContent = say("hear.solo_from", { bar: from });
    for (const button of document.querySelectorAll("[data-solo]")) {
      button.setAttribute("aria-pressed", String(button.dataset.solo === this.listening));
    }
    if (!this.stage?.playing) this.follow(null);
  }

  /** Shows the tab at a place of the music; null while nothing plays. */
  follow(place) {
    if ($("hear-solo-part").hidden || this.view.shownKey === undefined) return;
    const playing = place?.stage === "playing";
    const tick = playing ? place.tick : barLine(this.settings.track, this.settings.from - 1);
    this.tab.show(this.view.shownKey, tick, playing && this.listening !== null);
  }
}
