// The practice page's stage for a track that changes while it plays: the new one comes at the next bar line.

import { Band } from "../../practice/sound/band.js";
import { PausingPlayer } from "../../practice/sound/pausing.js";
import { Stage } from "../../practice/sound/stage.js";
import { barAt, barLine } from "../../practice/music/road.js";

const CHANGE_SECONDS = 0.03; // from a change to the bar line at which it is heard, at least
const RINGING_SECONDS = 6; // after which the band before is let go
const CLOSE = 1e-6; // ticks

export class LiveStage extends Stage {
  #pans = new Map();

  /**
   * Goes over to another track: at the next bar line while the band plays, else at once. settings: the wishes by
   * which it is played; sounds: those that it needs, decoded.
   */
  goOver(settings, sounds) {
    const { player: before, band: bandBefore } = this;
    this.sounds = sounds;
    const band = new Band(this.context, settings.track, sounds, (part) => settings.loudness(part));
    this.#pans.clear();
    const player = new PausingPlayer(settings.track, band, settings, this.heard);
    if (this.playing) this.#meet(before, player);
    Object.assign(this, { settings, band, player });
    setTimeout(() => bandBefore.output.disconnect(), 1000 * RINGING_SECONDS);
    if (this.playing) this.keepAhead();
  }

  /** Moves a part to the left or right of its place in the mix, -1 to 1, until another track comes. */
  tryPlace(part, off) {
    const { band } = this;
    const place = Math.max(-1, Math.min(1, off));
    const fader = band.channels.get(part)?.fader;
    if (!fader || (!place && !this.#pans.has(part))) return;
    if (!this.#pans.has(part)) {
      const pan = new StereoPannerNode(this.context, { pan: place });
      fader.disconnect(band.mixed);
      fader.connect(pan).connect(band.mixed);
      this.#pans.set(part, pan);
    }
    this.#pans.get(part).pan.setTargetAtTime(place, this.context.currentTime, 0.01);
  }

  /** Ends one player at the next bar line, and lets another go on from there. */
  #meet(before, player) {
    const { context } = this;
    const { time, bar } = this.#nextLine(before, this.soon(CHANGE_SECONDS, 4));
    if (before.time < time) before.advance(time, context.currentTime);
    const { round, goesOn, marks } = before;
    before.stop(time);
    const kept = marks.filter((mark) => mark.time < time);
    Object.assign(player, { round, chorus: 0, goesOn, time, floor: time, marks: kept, back: null, number: 0 });
    player.turns.start();
    player.ladder.start();
    const [first, end] = player.stretch;
    const line = bar < player.track.bars ? barLine(player.track, bar) : first;
    player.enterAt("playing", first <= line && line < end ? line : first);
  }

  /** The next bar line after a time of the context: its time, and the number of the bar that begins there, from 0. */
  #nextLine(player, at) {
    if (player.stage !== "playing") {
      // the count-in and the ending are played to their end
      const left = player.seconds(player.tick, player.end - player.tick);
      return { time: player.time + left, bar: player.stage === "counting" ? player.coming : 0 };
    }
    const { tick } = player.placeAt(Math.max(at, player.entered.time));
    const { track } = player;
    const inChorus = barAt(track, tick - CLOSE) + 1;
    const line = barLine(track, inChorus);
    const time = line <= player.tick + CLOSE ? player.timeOf(line) : player.time + player.seconds(player.tick, line - player.tick);
    const isOver = line >= player.stretch[1] - CLOSE;
    return { time, bar: isOver ? player.wishes.from - 1 : inChorus % track.bars };
  }
}
