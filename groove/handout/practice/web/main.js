// The page comes to life: data, settings, sounds, controls, keys of the keyboard.

import { keepAwake } from "./awake.js";
import { Band } from "./band.js";
import { bindControls, showSettings } from "./controls.js";
import { fileName, handOver, midiBytes, renderTrack, wavBytes } from "./downloads.js";
import { spokenChord } from "./names.js";
import { Player } from "./player.js";
import { Settings } from "./settings.js";
import { decodeSounds } from "./sounds.js";
import { onSpaceBar } from "./space_bar.js";
import { Speech } from "./speech.js";
import { Stage } from "./stage.js";
import { View } from "./view.js";

const $ = (id) => document.getElementById(id);
const dataOf = (id) => JSON.parse($(id).textContent);

const track = dataOf("track-data");
const settings = new Settings(track);
settings.readFragment(location.hash);
const view = new View(settings, (from, to) => {
  settings.setBars(from, to);
  changed("bars");
});
/** What tests, and who is curious, can reach from outside. heard: is told each note, if it is set. */
const practice = { track, settings, heard: null, ready: false, Band, Player, renderTrack, Speech, spokenChord };
globalThis.practice = practice;
let stage = null;

bindControls(settings, changed);
showSettings(settings);
view.refresh();
view.writeSheet();
addEventListener("hashchange", () => {
  if (location.hash.slice(1) === settings.toFragment()) return;
  settings.readFragment(location.hash);
  changed("key");
  changed("bars");
  changed("mix");
});

/** Carries out a change of the settings: heard, shown, and kept in the address. */
function changed(kind) {
  if (kind === "key") stage?.changeKey();
  if (kind === "bars" || kind === "whole") stage?.changeBars();
  if (kind === "whole") view.chart.anchor = null;
  if (kind === "mix") stage?.setMix();
  showSettings(settings);
  if (["key", "bars", "whole", "view"].includes(kind)) {
    view.refresh(stage?.playing ? { ...stage.place(), key: settings.key } : null);
  }
  clearTimeout(keepUp.timer);
  keepUp.timer = setTimeout(keepUp, 200);
}

/** The address and the printed sheet follow what is set. */
function keepUp() {
  history.replaceState(null, "", `#${settings.toFragment()}`);
  view.writeSheet();
}

function showPlaying(playing) {
  $("play-word").textContent = stage.held ? "Go on" : playing ? "Stop" : "Play";
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
    stage.play();
    showPlaying(true);
    requestAnimationFrame(follow);
  }
}

function over() {
  showPlaying(false);
  showSettings(settings);
  view.refresh();
}

/** Before each picture: where the sound is. */
function follow() {
  if (!stage.playing && stage.player.time < stage.context.currentTime) return;
  const place = stage.place();
  if (place && place.stage !== "stopped") {
    if (place.round !== follow.round) {
      showSettings(settings);
      keepUp();
    }
    follow.round = place.round;
    view.follow(place);
  }
  if ($("play").classList.contains("playing")) requestAnimationFrame(follow);
}

/** Makes a file of what is set now and hands it over, or says why that can't be. */
async function takeAway(ending, type, make) {
  if ($("get-wav").hasAttribute("aria-disabled")) return;
  const say = (words) => ($("take-said").textContent = words);
  const asked = settings.copy();
  const name = fileName(asked, ending);
  for (const id of ["get-midi", "get-wav"]) $(id).setAttribute("aria-disabled", "true");
  try {
    handOver(await make(asked, say), type, name);
    say(`${name} is in your downloads.`);
  } catch (error) {
    say(error instanceof RangeError ? error.message : "The browser could not make the file; perhaps it has too little memory for it.");
  }
  for (const id of ["get-midi", "get-wav"]) $(id).removeAttribute("aria-disabled");
}

/** The WAV file's bytes; says now and then how far it is. */
function wavOf(asked, say) {
  let quarter = -1;
  return wavBytes(asked, practice.sounds, (share) => {
    if (Math.floor(4 * share) === quarter) return;
    quarter = Math.floor(4 * share);
    say(quarter ? `Playing it into a file: ${25 * quarter} percent` : "Playing it into a file");
  });
}

$("play").addEventListener("click", playOrStop);
onSpaceBar(playOrStop);
$("get-midi").addEventListener("click", () => takeAway("mid", "audio/midi", midiBytes));
$("get-wav").addEventListener("click", () => takeAway("wav", "audio/wav", wavOf));
$("print").addEventListener("click", () => print());
$("copy").addEventListener("click", async () => {
  const link = `${location.href.split("#")[0]}#${settings.toFragment()}`;
  await (navigator.clipboard?.writeText(link) ?? Promise.reject()).catch(() => prompt("The link:", link));
  $("take-said").textContent = "The link opens the page as it is set now.";
});

/** The device took the sound away, as for a telephone call, or gave it back. */
function held(isHeld) {
  showPlaying(stage.playing);
  if (isHeld) $("said").textContent = "Your device has stopped the sound. Press Go on.";
}

async function getReady() {
  const sounds = (practice.sounds = await decodeSounds(dataOf("sound-data")));
  stage = practice.stage = new Stage(settings, sounds, { over, held, heard: (note) => practice.heard?.(note) });
  practice.ready = true;
  $("play").disabled = false;
  showPlaying(false);
}

getReady().catch(() => {
  $("trouble").textContent = "This browser could not make ready the sounds; a newer one will play this page.";
  $("trouble").hidden = false;
});
