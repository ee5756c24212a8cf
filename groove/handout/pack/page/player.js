// The player: one audio element with a button, the place in the track, and playing it again and again.
// Another key, tempo or mix goes on at the same place of the music.

import { filled } from "./shown.js";

const STEPS = 1000; // of the place's slider

export class Player {
  #audio;
  #data;
  #missing;
  #button = document.getElementById("start");
  #place = document.getElementById("place");
  #time = document.getElementById("time");
  #track = null;
  #isOn = false;
  #from = 0; // seconds: where a track begins that is not loaded yet

  constructor(audio, data, missing) {
    this.#audio = audio;
    this.#data = data;
    this.#missing = missing;
    audio.controls = false;
    document.getElementById("player").hidden = false;
    this.#button.addEventListener("click", () => (this.#isOn ? audio.pause() : this.#play()));
    this.#place.addEventListener("input", () => this.#seek((this.#place.value / STEPS) * this.#seconds));
    const again = document.getElementById("again");
    again.addEventListener("change", () => (audio.loop = again.checked));
    audio.loop = again.checked;
    audio.addEventListener("loadedmetadata", () => this.#goTo());
    audio.addEventListener("play", () => this.#turn(true));
    for (const name of ["pause", "ended"]) audio.addEventListener(name, () => this.#turn(false));
    audio.addEventListener("timeupdate", () => this.#show());
    audio.addEventListener("error", () => this.#fail());
    this.#takeMediaKeys();
  }

  /** Takes a track's mix, and plays it on where another one sounded. name: for a screen reader; album: for the lock screen. */
  load(track, mix, name, album) {
    const audio = this.#audio;
    const link = track.mix(mix).find(({ dataset }) => audio.canPlayType(`audio/${dataset.format}`)) ?? track.mix(mix)[0];
    const isOn = this.#isOn;
    const place = this.#at * (this.#track ? this.#track.tempo / track.tempo : 1);
    this.#track = track;
    audio.setAttribute("aria-label", name);
    this.#name(album);
    if (link.href === audio.src) return this.#show();
    this.#missing.hush();
    audio.src = link.href;
    this.#from = place;
    this.#show();
    if (isOn) this.#play();
  }

  get #at() {
    return this.#audio.readyState ? this.#audio.currentTime : this.#from;
  }

  get #seconds() {
    return Number.isFinite(this.#audio.duration) ? this.#audio.duration : this.#track.seconds;
  }

  #play() {
    if (this.#audio.error) this.#audio.load();
    this.#turn(true);
    this.#audio.play().catch(() => {}); // the element says what is wrong
  }

  #seek(seconds) {
    this.#from = seconds;
    if (this.#audio.readyState) this.#goTo();
    this.#show();
  }

  #goTo() {
    if (this.#from) this.#audio.currentTime = this.#from;
    this.#from = 0;
    this.#show();
  }

  #turn(isOn) {
    this.#isOn = isOn;
    const { words } = this.#data;
    this.#button.textContent = isOn ? words.pause : words.play;
    this.#button.classList.toggle("on", isOn);
    if ("mediaSession" in navigator) navigator.mediaSession.playbackState = isOn ? "playing" : "paused";
  }

  #fail() {
    this.#turn(false);
    this.#missing.say(this.#audio.src, document.getElementById("player"));
  }

  #show() {
    const { words } = this.#data;
    const [at, whole] = [this.#at, this.#seconds];
    const said = filled(words.time, { at: clock(at), whole: clock(whole) });
    this.#place.value = Math.round((at / whole) * STEPS);
    this.#place.setAttribute("aria-valuetext", said);
    if (this.#time.textContent !== said) this.#time.textContent = said;
  }

  #name(album) {
    if (!("mediaSession" in navigator)) return;
    const { title, teacher } = this.#data;
    navigator.mediaSession.metadata = new MediaMetadata({ title, artist: teacher, album });
  }

  #takeMediaKeys() {
    if (!("mediaSession" in navigator)) return;
    navigator.mediaSession.setActionHandler("play", () => this.#play());
    navigator.mediaSession.setActionHandler("pause", () => this.#audio.pause());
    navigator.mediaSession.setActionHandler("seekto", ({ seekTime }) => this.#seek(seekTime));
  }
}

function clock(seconds) {
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}
