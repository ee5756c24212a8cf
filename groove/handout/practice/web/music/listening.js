// The settings of listening: over the band or not, how fast; and those that the example solo is heard with.

import { SOLO } from "./track.js";

const PERCENT = 100;
/** The tempi at which single things are heard, in percent of the tempo that is set. */
export const PACES = [50, 70, 85, 100];
const USUAL_PACE = 70;
/** What a voice of the device may say: the numbers of the count-in, the chords to come. */
export const SAID_ALOUD = ["count", "chords"];
/** What notes are heard over that go with the running band. */
export const BAND = "band";

/** The settings of listening as the page opens: over the chord or "alone", at a pace, and what is said aloud. */
export function usualListening() {
  return { hearOver: "chord", pace: USUAL_PACE, aloud: new Set() };
}

/** The same as a link has them. */
export function listeningPairs({ hearOver, pace, aloud }) {
  return [
    ["hear", hearOver === "chord" ? null : hearOver],
    ["pace", pace === USUAL_PACE ? null : pace],
    ["aloud", [...aloud].join(",") || null],
  ];
}

/** The same from the parameters of a link. */
export function listeningIn(said) {
  const aloud = (said.get("aloud") ?? "").split(",");
  const pace = Number(said.get("pace"));
  return {
    hearOver: said.get("hear") === "alone" ? "alone" : "chord",
    pace: PACES.includes(pace) ? pace : USUAL_PACE,
    aloud: new Set(SAID_ALOUD.filter((what) => aloud.includes(what))),
  };
}

/** What is played while the example solo is listened to, alone or with the band; follows the page's settings. */
export function listeningTo(settings, { alone }) {
  const others = () => settings.parts.filter((part) => part !== SOLO);
  const without = (muted) => new Set([...muted].filter((part) => part !== SOLO));
  return Object.create(settings, {
    solo: { value: "example" },
    tempo: { get: () => Math.max(settings.track.tempi[0], Math.round((settings.tempo * settings.pace * 10) / PERCENT) / 10) },
    muted: { get: () => (alone ? new Set(others()) : without(settings.muted)) },
    roundOver: { value: () => settings.roundOver() },
    source: { value: settings },
  });
}
