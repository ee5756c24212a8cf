// The line of facts under the title: bars, metre, feel and drums, or the lines of a road.

import { hasSeveralMeters, roadOf } from "../music/road.js";
import { say, sayMany, wordFor } from "../music/words.js";

/** The facts of a track in words. */
export function factsOf(track) {
  return track.road ? roadFacts(track) : facts(track);
}

function facts(track) {
  const meter = track.meter.join("/");
  return say("facts.round", { ...track, meter, feel: wordFor("feels", track.feel), rounds: track.choruses });
}

function roadFacts(track) {
  const { lines } = roadOf(track);
  const { bars, drums } = track;
  const kind = hasSeveralMeters(track) ? "facts.changing" : "facts.road";
  const open = lines.some((line) => line.open) ? ` ${say("facts.open")}` : "";
  return sayMany(kind, lines.length, { bars, drums, meter: track.meter.join("/"), lines: lines.length }) + open;
}
