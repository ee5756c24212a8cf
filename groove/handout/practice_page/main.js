// The page comes to life: data, settings, sounds, controls, keys of the keyboard.

import { Band } from "./band.js";
import { bindControls, showSettings } from "./controls.js";
import { fileName, handOver, midiBytes, renderTrack, wavBytes } from "./downloads.js";
import { Player } from "./player.js";
import { Settings } from "./settings.js";
import { decodeSounds } from "./sounds.js";
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
const practice = (globalThis.practice = { track, settings, heard: null, ready: false, Band, Player, renderTrack });
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
  $("play-word").textContent = playing ? "Stop" : "Play";
  $("play").classList.toggle("playing", playing);
}

function playOrStop() {
  if (!stage) return;
  if (stage.playing) {
    stage.stop();
    over();
    return;
  }
  stage.play();
  showPlaying(true);
  requestAnimationFrame(follow);
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
    if (place.round !== follow.round) showSettings(settings);
    follow.round = place.round;
    view.follow(place);
  }
  if ($("play").classList.contains("playing")) requestAnimationFrame(follow);
}

async function takeAway(ending, type, make) {
  $("take-said").textContent = ending === "wav" ? "Playing it into a file ..." : "";
  const name = fileName(settings, ending);
  handOver(await make(), type, name);
  $("take-said").textContent = `${name} is in your downloads.`;
}

/** Whether a press of the space bar belongs to what has the focus. */
function isForControl(element) {
  if (element.matches("input:not([type=range]), select, textarea")) return true;
  return element.matches("button, a, summary") && element.matches(":focus-visible");
}

$("play").addEventListener("click", playOrStop);
addEventListener("keydown", (event) => {
  if (event.code !== "Space" || event.repeat || isForControl(event.target)) return;
  event.preventDefault();
  playOrStop();
});
$("get-midi").addEventListener("click", () => takeAway("mid", "audio/midi", () => midiBytes(settings)));
$("get-wav").addEventListener("click", () => takeAway("wav", "audio/wav", () => wavBytes(settings, practice.sounds)));
$("print").addEventListener("click", () => print());
$("copy").addEventListener("click", async () => {
  const link = `${location.href.split("#")[0]}#${settings.toFragment()}`;
  await navigator.clipboard.writeText(link).catch(() => prompt("The link:", link));
  $("take-said").textContent = "The link opens the page as it is set now.";
});

decodeSounds(dataOf("sound-data")).then(
  (sounds) => {
    practice.sounds = sounds;
    stage = new Stage(settings, sounds, { over, heard: (note) => practice.heard?.(note) });
    practice.stage = stage;
    practice.ready = true;
    $("play").disabled = false;
    showPlaying(false);
  },
  () => {
    $("trouble").textContent = "This browser could not unpack the sounds; a newer one will play this page.";
    $("trouble").hidden = false;
  },
);
