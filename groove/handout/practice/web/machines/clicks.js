// The beats that the click sounds on: all, the backbeats of the metre, or the first of the bar.

import { barAt, barLine, isHeld, settingOf } from "../music/road.js";

function isClicked(setting, beats, inBar) {
  if (beats === "all") return true;
  return beats === "one" ? inBar === 0 : setting.backbeats.includes(inBar);
}

/**
 * The part that clicks on a beat of a player: the click as it is mixed, the count-in, which always
 * sounds, or null for none.
 */
export function clickPart({ track, wishes, stage, turns }, tick, number) {
  const { beats, restClick } = wishes.machine;
  if (stage === "counting") return "count-in";
  if (stage === "resting") {
    const setting = settingOf(track, wishes.from - 1);
    const inBar = tick - Math.floor(tick / setting.barTicks) * setting.barTicks;
    return restClick && isClicked(setting, beats, inBar) ? "count-in" : null;
  }
  if (stage !== "playing" || isHeld(track, tick)) return null;
  const bar = barAt(track, tick);
  if (!isClicked(settingOf(track, bar), beats, tick - barLine(track, bar))) return null;
  return { mix: "click", on: "count-in", off: null }[turns.clickAt(number)];
}

/** Whether a click is accented: at the bar line, and where it sounds on some beats only. */
export function isAccented({ wishes, stage }, isBarLine) {
  return isBarLine || (stage !== "counting" && wishes.machine.beats !== "all");
}
