// The entry of the page's program: connects data, settings, sounds, controls and the screen.

import { Kept, onForget } from "./kept/kept.js";
import { onKey } from "./kept/keys.js";
import { keepAwake } from "./sound/awake.js";
import { Audition } from "./sound/audition.js";
import { Band, prepareBand } from "./sound/band.js";
import { bindControls, showSettings } from "./screen/controls.js";
import { fileName, handOver, midiBytes, renderTrack, wavBytes } from "./files/downloads.js";
import { spokenChord } from "./music/names.js";
import { usualHand } from "./music/hands.js";
import { KeptView } from "./screen/kept_view.js";
import { KeysList } from "./screen/keys_list.js";
import { lateFrames } from "./sound/leveller.js";
import { findClick, fromClicks, fromTaps, lateTap, probe } from "./mic/latency.js";
import { closeMicrophone, openMicrophone } from "./mic/microphone.js";
import { RecordingView } from "./mic/recording_view.js";
import { tonesOnNeck } from "./screen/neck.js";
import { Player } from "./sound/player.js";
import { Layout } from "./screen/layout.js";
import { Panels } from "./screen/panels.js";
import { PractiseView } from "./screen/practise.js";
import { goOnWords } from "./screen/road_view.js";
import { Settings } from "./music/settings.js";
import { writeSheet } from "./screen/sheet.js";
import { shownOver } from "./music/shown.js";
import { decodeSounds } from "./sound/sounds.js";
import { Speech } from "./screen/speech.js";
import { Stage } from "./sound/stage.js";
import { chordIn } from "./music/track.js";
import { View } from "./screen/view.js";
import { say, useWords, wordsAt } from "./music/words.js";

const $ = (id) => document.getElementById(id);
const dataOf = (id) => JSON.parse($(id).textContent);

const track = dataOf("track-data");
useWords(track.words);
const settings = new Settings(track);
settings.readFragment(location.hash);
const view = new View(
  settings,
  (from, to) => {
    settings.setLoop(from, to);
    changed("bars");
  },
  (from, to) => {
    const stays = $("press").value === "stay";
    settings.setLoop(from, stays ? to : track.bars, stays);
    changed(stays ? "bars" : "jump");
  },
);
/** The parts of the page that tests reach from outside. heard: called with each note, if it is set. */
export const practice = { track, settings, view, heard: null, ready: false, words: wordsAt, Band, Player, prepareBand, lateFrames, renderTrack, Speech, spokenChord, tonesOnNeck, shownOver, chordIn, usualHand, openMicrophone, closeMicrophone, latency: { findClick, fromClicks, fromTaps, lateTap, probe } };
globalThis.practice = practice;
const practise = new PractiseView(settings, (tempo) => {
  settings.setTempo(tempo);
  changed("tempo");
});
const keptView = new KeptView();
const recording = (practice.recording = new RecordingView(settings, {
  kept: new Kept("device"),
  onForget,
  play: playOrStop,
  stop: playOrStop,
  tell: (words) => view.tell?.("record", words),
  credits: $("credits").textContent,
}));
let stage = null;

bindControls(settings, changed);
const layout = (practice.layout = new Layout(settings, new Panels(document.querySelectorAll("section.panel")), {
  changed: () => changed("layout"),
  shown: () => view.showIn(layout.view, layout.isOpen),
}));
show();
view.refresh();
addEventListener("beforeprint", () => writeSheet($("sheet"), track, settings));
addEventListener("hashchange", () => {
  if (location.hash.slice(1) === settings.toFragment()) return;
  settings.readFragment(location.hash);
  changed("key");
  changed("tempo");
  changed("bars");
  changed("mix");
  changed("solo");
});

/** Makes controls and plan show the settings. */
function show() {
  showSettings(settings);
  layout.refresh();
  practise.refresh();
}

/** Carries out a change of the settings: in the sound, on the screen and in the address. */
function changed(kind) {
  if (kind === "key") stage?.changeKey();
  if (kind === "tempo") stage?.changeTempo();
  if (["bars", "whole", "jump"].includes(kind)) stage?.changeBars(kind === "jump");
  if (kind === "whole") view.chart.anchor = null;
  if (kind === "mix") stage?.setMix();
  if (kind === "solo") stage?.changeSolo();
  show();
  if (["key", "bars", "whole", "jump", "view", "solo"].includes(kind) || (kind === "tempo" && track.road)) {
    view.refresh(stage?.playing ? { ...stage.place(), key: settings.key, tempo: settings.tempo } : null);
  }
  clearTimeout(keepUp.timer);
  keepUp.timer = setTimeout(keepUp, 200);
}

/** The address follows the settings. */
function keepUp() {
  history.replaceState(null, "", `#${settings.toFragment()}`);
}

function showPlaying(playing) {
  $("play-word").textContent = say(stage.held ? "play.resume" : playing ? "play.stop" : "play.play");
  $("play").classList.toggle("playing", playing);
  $("play").classList.toggle("held", stage.held);
  keepAwake(playing);
}

function playOrStop() {
  if (!stage) return;
  if (stage.held) {
    stage.goOn();
  } else if (stage.playing) {
    stage.stop();
    over();
  } else {
    $("trouble").hidden = true;
    recording.hush();
    stage.play();
    showPlaying(true);
    requestAnimationFrame(follow);
  }
}

/** Shows the button that ends an open line, while one goes round. */
function showGoOn() {
  if (!track.road) return;
  const { waiting, goesOn } = stage.player;
  $("go-on").hidden = !waiting;
  if (!waiting) return;
  const asked = goesOn === waiting.line;
  const words = goOnWords(track, waiting, asked, settings);
  if ($("go-on").textContent !== words) $("go-on").textContent = words;
  $("go-on").setAttribute("aria-pressed", String(asked));
}

function over() {
  $("go-on").hidden = true;
  showPlaying(false);
  show();
  view.refresh();
}

/** Before each picture: shows the place in the music. */
function follow() {
  if (!$("play").classList.contains("playing")) return; // the student has stopped
  if (!stage.playing && stage.player.time < stage.context.currentTime) return;
  const place = stage.place();
  if (place && place.stage !== "stopped") {
    if (place.round !== follow.round) {
      show();
      keepUp();
    }
    follow.round = place.round;
    view.follow(place);
    showGoOn();
  }
  requestAnimationFrame(follow);
}

/** Makes a file of the track as it is set and hands it over, or says why it can't. */
async function takeAway(ending, type, make) {
  if ($("get-wav").hasAttribute("aria-disabled")) return;
  const tell = (words) => ($("take-said").textContent = words);
  const asked = settings.copy();
  const name = fileName(asked, ending);
  for (const id of ["get-midi", "get-wav"]) $(id).setAttribute("aria-disabled", "true");
  try {
    handOver(await make(asked, tell), type, name);
    tell(say("file.done", { name }));
  } catch (error) {
    tell(error instanceof RangeError ? error.message : say("file.failed"));
  }
  for (const id of ["get-midi", "get-wav"]) $(id).removeAttribute("aria-disabled");
}

/** The WAV file's bytes; says after each quarter how much is done. */
function wavOf(asked, tell) {
  let quarter = -1;
  return wavBytes(asked, practice.sounds, $("credits").textContent, (share) => {
    if (Math.floor(4 * share) === quarter) return;
    quarter = Math.floor(4 * share);
    tell(quarter ? say("file.playing_share", { percent: 25 * quarter }) : say("file.playing"));
  });
}

$("play").addEventListener("click", playOrStop);
$("go-on").addEventListener("click", () => {
  stage.endLine(stage.player.goesOn === null);
  showGoOn();
});
onKey(" ", "keys.play", playOrStop);
onKey("r", "keys.record", () => recording.press());
bindKeys();
$("get-midi").addEventListener("click", () => takeAway("mid", "audio/midi", midiBytes));
$("get-wav").addEventListener("click", () => takeAway("wav", "audio/wav", wavOf));
$("print").addEventListener("click", () => print());
$("copy").addEventListener("click", async () => {
  const link = `${location.href.split("#")[0]}#${settings.toFragment()}`;
  await (navigator.clipboard?.writeText(link) ?? Promise.reject()).catch(() => prompt(say("file.link_prompt"), link));
  $("take-said").textContent = say("file.link_done");
});

/** Binds the keys of key, tempo and bars, and the list of all keys. */
function bindKeys() {
  const list = new KeysList();
  $("show-keys").addEventListener("click", () => list.show());
  const faster = (step) => () => {
    settings.setTempo(settings.tempo + step);
    changed("tempo");
  };
  for (const [key, step] of [["+", 1], ["-", -1], ["f", 5], ["s", -5]]) {
    onKey(key, `keys.tempo.${key}`, faster(step), { repeats: true });
  }
  onKey("?", "keys.list", () => list.show());
}

/** Shows that the device took the sound away, as for a telephone call, or gave it back. */
function held(isHeld) {
  showPlaying(stage.playing);
  if (isHeld) $("said").textContent = say("trouble.held");
}

/** Shows that a press of play brought no sound. */
function silent() {
  over();
  trouble(say("trouble.silent"));
}

function trouble(words) {
  $("trouble").textContent = words;
  $("trouble").hidden = false;
}

async function getReady() {
  const sounds = (practice.sounds = await decodeSounds(dataOf("sound-data")));
  const made = new Stage(settings, sounds, { over, held, silent, heard: (note) => practice.heard?.(note) });
  await made.ready();
  stage = practice.stage = made;
  practice.audition = new Audition(made, settings, (note) => practice.heard?.(note));
  recording.useStage(made);
  practice.ready = true;
  $("play").disabled = false;
  showPlaying(false);
}

getReady().catch(() => {
  $("play-word").textContent = say("play.no_sound");
  trouble(say("trouble.sounds"));
});
