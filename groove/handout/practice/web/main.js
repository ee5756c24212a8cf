// The entry of the page's program: connects data, settings, sounds, controls and the screen.

import { Kept, onForget } from "./kept/kept.js";
import { onKey } from "./kept/keys.js";
import { Minutes } from "./kept/minutes.js";
import { Opened } from "./kept/opened.js";
import { Reached } from "./kept/reached.js";
import { Audition } from "./sound/audition.js";
import { Band, prepareBand } from "./sound/band.js";
import { bindControls, showSettings } from "./screen/controls.js";
import { fileName, handOver, midiBytes, renderTrack, wavBytes } from "./files/downloads.js";
import { spokenChord } from "./music/names.js";
import { tonesOnNeck, usualHand } from "./music/hands.js";
import { Aloud } from "./screen/aloud.js";
import { HearPanel } from "./screen/hear.js";
import { KeptView } from "./screen/kept_view.js";
import { bindKeys } from "./screen/key_acts.js";
import { KeysList } from "./screen/keys_list.js";
import { lateFrames } from "./sound/leveller.js";
import { findClick, fromClicks, fromTaps, lateTap, probe } from "./takes/latency.js";
import { closeMicrophone, openMicrophone } from "./sound/microphone.js";
import { RecordingView } from "./takes/recording_view.js";
import { pitchOf } from "./tuner/pitch.js";
import { Steady } from "./tuner/steady.js";
import { Tuner } from "./tuner/tuner.js";
import { struck, toneOf } from "./tuner/tuning_notes.js";
import { PausingPlayer } from "./sound/pausing.js";
import { Layout } from "./screen/layout.js";
import { MachinesView } from "./screen/machines.js";
import { Panels } from "./screen/panels.js";
import { PractiseView } from "./screen/practise.js";
import { Settings } from "./music/settings.js";
import { writeSheet } from "./screen/sheet.js";
import { shownOver } from "./music/shown.js";
import { decodeSounds } from "./sound/sounds.js";
import { Speech } from "./screen/speech.js";
import { Stage } from "./sound/stage.js";
import { chordIn } from "./music/track.js";
import { Transport } from "./transport.js";
import { View } from "./screen/view.js";
import { say, useWords, wordsAt } from "./music/words.js";

const $ = (id) => document.getElementById(id);
const dataOf = (id) => JSON.parse($(id).textContent);

const track = dataOf("track-data");
useWords(track.words);
const settings = new Settings(track);
const opened = new Opened(settings);
opened.open(location.hash, history.state);
const view = new View(settings, stayIn, goAlong);
const reached = new Reached(new Kept(track), () => practise.showReached());
/** The parts of the page that tests reach from outside. heard: called with each note, if it is set. */
export const practice = { track, settings, view, reached, heard: null, ready: false, words: wordsAt, Band, Player: PausingPlayer, prepareBand, lateFrames, renderTrack, Speech, spokenChord, tonesOnNeck, shownOver, chordIn, usualHand, openMicrophone, closeMicrophone, latency: { findClick, fromClicks, fromTaps, lateTap, probe } };
globalThis.practice = practice;
practice.tuning = { pitchOf, Steady, toneOf, struck };
const practise = new PractiseView(settings, reached, (tempo) => {
  settings.setTempo(tempo);
  changed("tempo");
});
const minutes = (practice.minutes = new Minutes(new Kept(track), () => stage?.context.currentTime ?? 0));
const keptView = new KeptView(opened, allChanged);
const machines = new MachinesView(settings, { changed, tell: (name, words) => view.tell(name, words), announce: (words) => view.speech.take(words), judged });
const skip = track.road ? goAlong : stayIn;
const transport = new Transport(settings, view, { show, minutes, reached, machines, before: makeRoom, after, followed, skip });
const keysList = new KeysList();
const recording = (practice.recording = new RecordingView(settings, {
  kept: new Kept("device"),
  onForget,
  play: () => transport.playOrStop(),
  stop: () => transport.playOrStop(),
  begins: () => layout.isOpen && layout.openDrawer(false), // the music is in sight again
  tell: (words, press) => view.tell("record", words, press),
  unfold: () => layout.showPanel("record"),
  warn: trouble,
  credits: $("credits").textContent,
}));
const hear = new HearPanel(settings, view, {
  start: () => transport.playOrStop(),
  stop: () => stage?.playing && transport.playOrStop(),
  changed,
});
const aloud = (practice.aloud = new Aloud(settings, {
  nextChord: (number, place) => view.nextChord(number, place),
  trouble: (words) => ($("aloud-trouble").textContent = words),
}));
view.newChord = () => hear.refresh();
let [stage, address] = [null, location.hash]; // address: as it was last read or written
const tuner = (practice.tuner = new Tuner(settings, {
  sounds: () => practice.sounds ?? null,
  hush: hushAll,
  unfold: () => layout.showPanel("tuner"),
  tell: (words) => view.tell("tuner", words),
  kept: new Kept("device"),
}));

bindControls(settings, changed);
const layout = (practice.layout = new Layout(settings, new Panels(document.querySelectorAll("section.panel")), {
  changed: () => changed("layout"),
  shown: () => view.showIn(layout.view, layout.isOpen),
}));
show();
view.refresh();
addEventListener("beforeprint", () => writeSheet($("sheet"), track, settings));
addEventListener("hashchange", () => {
  address = location.hash;
  if (location.hash.slice(1) === opened.fragment) return;
  opened.open(location.hash, history.state);
  allChanged();
  keptView.showOpened();
});

/** Carries out that every setting may be another one. */
function allChanged() {
  for (const kind of ["key", "tempo", "bars", "mix", "solo", "machine"]) changed(kind);
  aloud.change();
}

minutes.told = () => keptView.showMinutes(minutes.sums());
minutes.told();
addEventListener("storage", () => {
  minutes.told(); // another page has practised
  practise.showReached();
});
onForget(() => tuner.forget());
onForget(() => {
  opened.forget();
  allChanged();
  clearTimeout(keepUp.timer); // nothing is kept yet
  history.replaceState(null, "", location.href.split("#")[0] + (opened.came && `#${opened.came}`));
  address = location.hash;
  minutes.told();
});

/** Stays between two bars. */
function stayIn(from, to) {
  settings.setLoop(from, to);
  changed("bars");
}

/** Plays on from a bar of the road, or stays in the part up to another, as is chosen. */
function goAlong(from, to) {
  const stays = $("press").value === "stay";
  settings.setLoop(from, stays ? to : track.bars, stays);
  changed(stays ? "bars" : "jump");
}

/** Makes controls and plan show the settings. */
function show() {
  showSettings(settings);
  layout.refresh();
  practise.refresh();
  keptView.refresh();
  machines.refresh();
  tuner.refresh();
  transport.refresh();
  hear.refresh();
}

/** Ends takes that are heard and the tuner, because the band begins to play. */
function makeRoom() {
  recording.giveWay();
  hear.hush();
  tuner.giveWay();
}

/** Stops all that the page plays, for the tuner. */
function hushAll() {
  if (stage?.playing) transport.stop();
  practice.audition?.hush();
  recording.hush();
}

/** Carries out a change of the settings: in the sound, on the screen and in the address. */
function changed(kind) {
  if (kind === "key") stage?.changeKey();
  if (kind === "tempo") stage?.changeTempo();
  if (["bars", "whole", "jump"].includes(kind)) stage?.changeBars(kind === "jump");
  if (kind === "whole") view.chart.anchor = null;
  if (kind === "mix") stage?.setMix();
  if (kind === "solo") stage?.changeSolo();
  if (kind === "machine") stage?.changeTurns();
  if (["key", "bars", "whole", "jump", "view"].includes(kind)) hear.hushAlone();
  if (kind === "aloud") aloud.choose();
  show();
  if (["key", "bars", "whole", "jump", "view", "solo"].includes(kind) || (kind === "tempo" && track.road)) {
    view.refresh(transport.place);
  }
  clearTimeout(keepUp.timer);
  keepUp.timer = setTimeout(keepUp, 200);
}

/** Takes what the student says of a round; tempo and key may go back to what they were. */
function judged(isClean) {
  if (!stage?.playing) return;
  const { tempo, key } = settings;
  stage.judge(isClean);
  if (settings.key !== key) changed("key");
  if (settings.tempo !== tempo) changed("tempo");
}

/** The address follows what is set, and it is kept; but a link that has just been followed is read first. */
function keepUp() {
  if (location.hash !== address) return;
  history.replaceState(opened.state, "", `#${opened.fragment}`);
  address = location.hash;
  opened.keep();
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

onKey("r", "keys.record", () => recording.press());
onKey("t", "tuner.key", () => tuner.press());
bindKeys(settings, changed);
onKey("h", "hear.key", () => hear.toggle());
onKey("?", "keys.list", () => keysList.show());
$("show-keys").addEventListener("click", () => keysList.show());
$("get-midi").addEventListener("click", () => takeAway("mid", "audio/midi", midiBytes));
$("get-wav").addEventListener("click", () => takeAway("wav", "audio/wav", wavOf));
$("print").addEventListener("click", () => print());
$("copy").addEventListener("click", async () => {
  const link = `${location.href.split("#")[0]}#${settings.toFragment()}`;
  const copy = navigator.clipboard?.writeText(link) ?? Promise.reject();
  const isCopied = await copy.then(() => true, () => prompt(say("file.link_prompt"), link));
  const here = location.protocol.startsWith("http") ? "" : "_here"; // the page lies on the device
  $("take-said").textContent = say(`file.${isCopied === true ? "link_copied" : "link_done"}${here}`);
});

function trouble(words) {
  $("trouble").textContent = words;
  $("trouble").hidden = false;
}

/** The band has stopped. */
function after() {
  hear.stopped();
  aloud.rest();
}

/** Shows a place in the music, before each picture. */
function followed(place) {
  hear.follow(place);
}

/** Takes in each note that is handed to the band. */
function handed(note) {
  practice.heard?.(note);
  aloud.heard(note);
}

async function getReady() {
  const sounds = (practice.sounds = await decodeSounds(dataOf("sound-data")));
  const made = new Stage(settings, sounds, {
    over: () => transport.over(),
    held: (isHeld) => transport.held(isHeld),
    silent: (isLost) => transport.silent(isLost),
    heard: handed,
  });
  await made.ready();
  stage = practice.stage = made;
  practice.audition = new Audition(made, settings, (note) => {
    tuner.giveWay();
    handed(note);
  });
  made.ticked = () => aloud.follow();
  hear.ready(practice);
  aloud.ready(made);
  recording.useStage(made);
  practice.ready = true;
  transport.useStage(made);
}

getReady().catch(() => {
  $("play-word").textContent = say("play.no_sound");
  trouble(say("trouble.sounds"));
});
