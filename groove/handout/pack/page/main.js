// The overview's program: shows and plays what the student chooses.

import { Choice } from "./choice.js";
import { Files } from "./files.js";
import { Missing } from "./missing.js";
import { Player } from "./player.js";
import { Post } from "./post.js";
import { asked, filled, showChart, showPlan, showTaken } from "./shown.js";
import { Video } from "./video.js";

const at = (id) => document.getElementById(id);
const data = JSON.parse(at("data").textContent);
const files = new Files(at("all"));
const missing = new Missing(at("trouble"), data.words.missing);
const choice = new Choice(at("choice"), files, data.title, show);
const player = at("audio") && new Player(at("audio"), data, missing);
const video = at("video") && new Video(at("video"), missing);
const post = at("post") && new Post(at("post"), data);

function show() {
  const { key, track, reader, mix } = choice;
  const papers = key.papers.get(reader);
  const name = `${key.name}, ${track.words}`;
  player?.load(track, mix, name, filled(data.words.album, {
    key: key.name,
    tempo: track.tempo,
    mix: track.mix(mix)[0]?.textContent,
  }));
  video?.show(track, filled(data.words.video, { track: name }));
  post?.show(key, track);
  showChart(at("picture"), papers, filled(data.words.alt, { key: key.name }));
  showTaken(at("taken"), track, papers, mix);
  at("practise").hash = asked(key, track.tempo, reader);
  at("opens").textContent = filled(data.words.opens, { key: papers.written, tempo: track.tempo });
  showPlan(at("plan"), data, key, reader, at("practise"));
}

/** Of track, video and preview one sounds at a time. */
function playOne({ target }) {
  for (const other of document.querySelectorAll("audio, video")) {
    if (other !== target) other.pause();
  }
}

function prepareForPrint() {
  const plan = at("plan");
  const wasOpen = plan?.open;
  at("print").hidden = false;
  at("print").addEventListener("click", () => print());
  addEventListener("beforeprint", () => plan && (plan.open = true));
  addEventListener("afterprint", () => plan && (plan.open = wasOpen));
}

// A page that is opened from a disk has all its files beside it.
at("zip").hidden = location.protocol === "file:";
if (at("plan") && matchMedia("(max-width: 44rem), (max-height: 30rem)").matches) at("plan").open = false;
missing.watch(document, at("picture"));
prepareForPrint();
document.addEventListener("play", playOne, true);
choice.begin();
