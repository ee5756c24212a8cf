// The panel for recording: records, lists the takes, plays them back and saves them.

import { fileName, handOver } from "../files/downloads.js";
import { lengthInWords } from "../music/outline.js";
import { say, sayMany } from "../music/words.js";
import { LatencyView } from "./latency_view.js";
import { NoMicrophone } from "../sound/microphone.js";
import { Recorder } from "./recording.js";
import { canOpus, takeAsFile, wordsOfName } from "./recording_files.js";
import { canFilm } from "./recording_film.js";
import { TakeList } from "./recording_list.js";
import { TakePlayer } from "./recording_play.js";
import { factor } from "./recording_take.js";

const OFF_DECIBELS = -30; // of the sliders
const LOWEST_DECIBELS = -60; // of the meter
const TOO_LOUD = 0.98;
const LEAST_SECONDS = 5; // that must be left for a take

const $ = (id) => document.getElementById(id);

export class RecordingView {
  /**
   * kept: what stays on the device. onForget: takes a function that is called when that is forgotten. play:
   * starts the band. stop: stops it. begins: called when a recording begins. tell: called with a short
   * state for the transport, "" for none, and with what a press of it does, if it does something. unfold: opens
   * the panel and goes there. warn: called with a sentence while the panel is folded away. credits: the line on
   * sounds and music for the files.
   */
  constructor(settings, { kept, onForget, play, stop, begins, tell, unfold, warn, credits }) {
    Object.assign(this, { settings, play, stop, begins, tell, unfold, warn, credits, takes: [], number: 0, decibels: { microphone: 0, band: 0 } });
    this.latency = new LatencyView(kept, { before: () => this.#makeQuiet(), changed: () => this.player?.setLevels() });
    onForget(() => this.latency.forget());
    const act = (name) => (take) => this.#save(take, name);
    this.list = new TakeList(settings.track, {
      play: (take) => this.#playOrStop(take),
      toPlace: (take, seconds) => this.#playTake(take, seconds),
      wav: act("wav"),
      opus: act("opus"),
      film: (take) => this.#saveFilm(take),
      remove: (take) => this.#remove(take),
    });
    $("record-film-line").hidden = !canFilm();
    $("record-go").addEventListener("click", () => this.press());
    $("take-back").addEventListener("click", () => this.#bringBack());
    $("record").addEventListener("click", () => this.#takeAwayTold());
    for (const which of ["microphone", "band"]) this.#bindLevel(which);
    addEventListener("beforeunload", (event) => this.hasUnsaved && event.preventDefault());
  }

  /** Takes the stage into use, as soon as there is one. */
  useStage(stage) {
    this.stage = stage;
    this.latency.useStage(stage);
    this.recorder = new Recorder(stage, { heard: (now) => this.#showNow(now), done: (take, reason) => this.#done(take, reason) });
    this.player = new TakePlayer(stage, {
      levels: () => this.levels,
      moved: (seconds) => this.list.showPlace(this.player.take, seconds),
      over: () => this.#showStopped(),
    });
    $("record-go").disabled = false;
    canOpus(stage.context.sampleRate).then((can) => can && this.list.allowOpus());
  }

  /** Whether something would be lost with the page. */
  get hasUnsaved() {
    return Boolean(this.recorder?.isOn) || this.takes.some((take) => !take.isSaved);
  }

  /** Latency in seconds, and both levels as factors. */
  get levels() {
    const [microphone, band] = ["microphone", "band"].map((which) => factor(this.decibels[which], OFF_DECIBELS));
    return { latency: this.latency.seconds, microphone, band };
  }

  /** Records, or ends the take. */
  async press() {
    if (!this.recorder || this.recorder.state === "asking" || this.recorder.state === "ending") return;
    if (this.recorder.isOn) {
      this.recorder.stop();
      this.tell(say("record.ending"));
      if (this.hasStarted && this.stage.playing) this.stop();
      return;
    }
    const most = this.recorder.limits.all - this.takes.reduce((sum, { seconds }) => sum + seconds, 0);
    if (most < LEAST_SECONDS) {
      this.#warn(say("record.full", { length: lengthInWords(this.recorder.limits.all) }));
      return;
    }
    this.giveWay();
    this.#forget();
    this.#say(say("record.asking"));
    const film = $("record-film").checked ? this.levels : null;
    try {
      await this.recorder.start({ film, about: { from: this.#here() }, most });
    } catch (error) {
      this.#warn(error instanceof NoMicrophone ? error.message : say("trouble.silent"));
      return;
    }
    this.begins();
    this.hasStarted = !this.stage.playing;
    this.loudest = 0;
    if (this.hasStarted) this.play();
    this.#say("");
    this.#showOn(true);
    $("said").textContent = say("record.begun");
  }

  /** Stops the take that sounds. */
  hush() {
    this.player?.stop();
  }

  /** Gives way to the band, which begins to play. */
  giveWay() {
    this.hush();
    this.#takeAwayTold();
  }

  /** Takes away what the transport says of the last take. */
  #takeAwayTold() {
    if (!this.recorder || this.recorder.state === "off") this.tell("");
  }

  /** Makes room for clicks; returns false while a recording runs. */
  #makeQuiet() {
    if (this.recorder.state !== "off") return false;
    this.hush();
    if (this.stage.playing) this.stop();
    return true;
  }

  #here() {
    const { key, tempo } = this.settings;
    return { key, tempo };
  }

  #say(words) {
    $("record-said").textContent = words;
  }

  /** Says something where it is seen. */
  #warn(words) {
    this.#say(words);
    if (!$("record-said").offsetParent) this.warn(words);
  }

  #showOn(isOn) {
    $("record-word").textContent = say(isOn ? "record.stop" : "record.record");
    $("record-go").classList.toggle("recording", isOn);
    $("record-now").hidden = !isOn;
    $("record-film").disabled = isOn;
    const see = $("record-see");
    see.srcObject = isOn ? (this.recorder.camera ?? null) : null;
    see.hidden = !see.srcObject;
    if (see.srcObject) see.play().catch(() => {});
    if (!isOn) this.tell("");
  }

  #showNow({ seconds, peak, state }) {
    this.loudest = Math.max(this.loudest, peak);
    const length = lengthInWords(seconds);
    if ($("record-time").textContent !== length) $("record-time").textContent = length;
    this.tell(say(`record.${state}`, { length }));
    $("record-meter").value = Math.max(0, 20 * Math.log10(peak || 1e-9) - LOWEST_DECIBELS);
  }

  async #done(take, reason) {
    this.#showOn(false);
    const { loudest } = this;
    Object.assign(take.about, { to: this.#here(), number: (this.number += 1), name: say("record.take", { number: this.number }) });
    this.takes.push(take);
    this.list.add(take);
    $("take-levels").hidden = false;
    const { microphone, band, isSilent } = await take.loudness();
    if (!this.isSet && !isSilent && microphone && band) this.#setLevel("microphone", Math.round(20 * Math.log10(band / microphone)));
    const limit = reason === "limit" ? say("record.limit", { length: lengthInWords(take.seconds) }) : "";
    const gone = reason === "gone" ? say("record.gone") : "";
    const state = isSilent ? say("record.unheard") : loudest >= TOO_LOUD ? say("record.too_loud") : say("record.done", { name: take.about.name });
    this.#say([limit, gone, state].filter(Boolean).join(" "));
    this.#announce(take, [limit, gone, isSilent || loudest >= TOO_LOUD ? state : ""]);
    if (this.recorder.state !== "off") return; // the next one runs already
    this.tell(isSilent ? say("record.unheard") : say("record.recorded", { name: take.about.name }), () => this.#showTake(take));
  }

  /** Goes to a take in the panel. */
  #showTake(take) {
    this.#takeAwayTold();
    this.unfold();
    this.list.focus(take);
  }

  /** Tells a screen reader of a take, and what was wrong with it while the panel, which says it too, is folded away. */
  #announce({ about, seconds }, troubles) {
    const told = sayMany("record.told", Math.max(1, Math.round(seconds)), { name: about.name });
    const isFolded = !$("record-said").offsetParent;
    $("said").textContent = [told, ...(isFolded ? troubles : [])].filter(Boolean).join(" ");
  }

  #bindLevel(which) {
    const slider = $(`level-${which}`);
    slider.addEventListener("input", () => {
      this.isSet = true;
      this.#setLevel(which, slider.valueAsNumber);
    });
    this.#setLevel(which, 0);
  }

  #setLevel(which, decibels) {
    const slider = $(`level-${which}`);
    slider.value = decibels;
    this.decibels[which] = slider.valueAsNumber;
    const isOff = slider.valueAsNumber <= OFF_DECIBELS;
    slider.nextElementSibling.textContent = isOff ? say("record.off") : say("record.level", { decibels: slider.valueAsNumber }).replace("-", "−");
    slider.setAttribute("aria-valuetext", isOff ? say("record.off") : say("record.decibels", { decibels: slider.valueAsNumber }));
    this.player?.setLevels();
  }

  #playOrStop(take) {
    if (this.player.take === take) this.player.stop();
    else this.#playTake(take, 0);
  }

  #playTake(take, from) {
    if (this.recorder.state !== "off") return;
    if (this.player.take !== take) this.player.stop();
    if (this.stage.playing) this.stop();
    this.sounding = take;
    this.player.play(take, from).catch(() => {
      this.player.stop();
      this.#say(say("trouble.silent"));
    });
  }

  #showStopped() {
    if (this.sounding) this.list.showPlace(this.sounding, null);
    this.sounding = null;
  }

  /** Saves the mix of a take as it sounds now. */
  async #save(take, kind) {
    const { track } = this.settings;
    const { key, tempo } = take.about.from;
    const title = say("record.file_title", { title: track.title, name: take.about.name, key: track.keys[key].sign, tempo });
    this.list.showSaved(take, true);
    const tell = (share) => this.#say(say("record.making", { percent: 25 * Math.floor(4 * share) })); // a quarter each
    tell(0);
    try {
      this.#handOver(take, await takeAsFile(take, kind, this.levels, { title, credits: this.credits }, tell), kind);
    } catch {
      this.#say(say("file.failed"));
    }
    this.list.showSaved(take);
  }

  #saveFilm(take) {
    this.#handOver(take, take.film, take.film.type.includes("mp4") ? "mp4" : "webm");
    this.list.showSaved(take);
  }

  #handOver(take, blob, ending) {
    const { key, tempo } = take.about.from;
    const asked = Object.assign(this.settings.copy(), { key, tempo, rounds: 1 });
    const name = fileName(asked, ending).replace(/\.(?=\w+$)/, `_${wordsOfName(take)}.`);
    handOver(blob, blob.type, name);
    take.isSaved = true;
    this.#say(say("file.done", { name }));
  }

  #remove(take) {
    if (this.player.take === take) this.player.stop();
    this.#forget();
    this.list.remove(take);
    this.takes = this.takes.filter((one) => one !== take);
    this.removed = take;
    $("take-levels").hidden = !this.takes.length;
    $("take-back").hidden = false;
    $("take-back").focus();
    this.#say(say("record.removed", { name: take.about.name }));
  }

  #bringBack() {
    const take = this.removed;
    this.#forget();
    this.takes.push(take);
    this.list.add(take);
    this.list.showSaved(take);
    $("take-levels").hidden = false;
    this.#say("");
    this.list.focus(take);
  }

  /** Forgets the take that was deleted last. */
  #forget() {
    this.removed = null;
    $("take-back").hidden = true;
  }
}
