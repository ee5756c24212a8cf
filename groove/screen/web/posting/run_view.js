// The run that makes it all: what it will take, how far it is, how it ended.

import { html } from "../../practice/screen/svg.js";
import { say, sayMany } from "../../practice/music/words.js";
import { timeInWords } from "./spans.js";

const $ = (id) => document.getElementById(id);
const TICK = 500; // ms between two looks at the clock
const MOST = 0.99; // of the bar, until all is told

export class RunView {
  #timer = 0;
  #told = null; // the progress that was told last, and when
  #half = false;

  /** announce: has words read out. */
  constructor(announce) {
    this.announce = announce;
  }

  /** Shows what a wish will take; null while that is counted, a text where it can't be made. */
  showExpected(expected) {
    const lines = expected === null ? [say("posting.expected.asking")] : typeof expected === "string" ? [expected] : linesOf(expected);
    const cautions = expected?.folder ? cautionsOf(expected) : [];
    $("expected").setAttribute("aria-busy", String(expected === null));
    const isNotice = typeof expected === "string";
    $("expected").replaceChildren(
      ...lines.map((line) => html("p", { class: isNotice ? "notice" : null }, line)),
      ...cautions.map((line) => html("p", { class: "notice" }, line)),
    );
    $("begin").setAttribute("aria-disabled", String(isNotice));
  }

  /** Whether a run is on. */
  get isOn() {
    return ["running", "stopping"].includes(this.#told?.state);
  }

  /** Shows how far a run is; null where there was none. */
  showProgress(progress) {
    const wasOn = this.isOn;
    this.#told = progress && { ...progress, at: performance.now() };
    if (this.isOn && !wasOn) this.#half = false;
    const focused = document.activeElement;
    $("progress").hidden = !this.isOn;
    $("expected").hidden = this.isOn;
    $("stop").hidden = !this.isOn;
    $("stop").setAttribute("aria-disabled", String(progress?.state === "stopping"));
    if (this.isOn) $("begin").setAttribute("aria-disabled", "true");
    if (focused === $("stop") && !this.isOn) $("begin").focus();
    clearInterval(this.#timer);
    if (this.isOn) this.#timer = setInterval(() => this.#tick(), TICK);
    this.#tick();
  }

  #tick() {
    if (!this.isOn) return;
    const { state, share, elapsed, whole, at } = this.#told;
    const gone = elapsed + (performance.now() - at) / 1000;
    const done = Math.min(MOST, Math.max(share, gone / whole));
    $("progress-bar").value = done;
    const time = timeInWords(Math.max(0, whole - gone));
    const words = state === "stopping" ? "stopping" : share === 1 ? "ending" : gone < 1 ? "beginning" : "left";
    $("progress-words").textContent = say(`posting.run.${words}`, { time });
    if (done >= 0.5 && !this.#half) {
      this.#half = true;
      this.announce(say("posting.run.half"));
    }
  }

  /** Shows how a run has ended; null where there was none, or where one is on. */
  showOutcome(outcome) {
    const lines = this.isOn || !outcome?.ended ? [] : outcomeLines(outcome);
    const notes = lines.length ? outcome.notes : [];
    $("outcome").hidden = !lines.length;
    if (lines.length) $("outcome").dataset.ended = outcome.ended;
    const [first, ...others] = lines;
    $("outcome").replaceChildren(
      ...(first ? [html("p", { class: "ended" }, html("strong", {}, first))] : []),
      ...others.map((line) => html("p", {}, line)),
      ...(notes.length ? [html("ul", {}, ...notes.map((note) => html("li", {}, note)))] : []),
    );
    return lines.join(" ");
  }
}

function linesOf({ files, there, going, size, zip, seconds, folder }) {
  const go = going ? [sayMany("posting.expected.going", going)] : [];
  if (!files) return [say("posting.expected.nothing", { folder }), ...go];
  const words = { files: sayMany("posting.expected.files", files), size, zip, time: timeInWords(seconds) };
  const stay = there ? [sayMany("posting.expected.there", there)] : [];
  return [[say("posting.expected.words", words), say("posting.expected.folder", { folder }), ...stay, ...go].join(" ")];
}

function cautionsOf({ mistakes, isMuch, same }) {
  return [
    ...(mistakes ? [say("posting.expected.mistakes")] : []),
    ...(isMuch ? [say("posting.expected.much")] : []),
    ...(same ? [say("posting.expected.same", { name: same })] : []),
  ];
}

/** How a run ended, in a few words first. */
function outcomeLines(outcome) {
  const older = outcome.isOlder ? [say("posting.run.older")] : [];
  return [say(`posting.run.ended.${outcome.ended}`), ...endedLines(outcome), ...older];
}

function endedLines({ ended, trouble, memory, files, there, made, kept, removed, aside }) {
  const finished = there ? sayMany("posting.run.finished", there, { files }) : say("posting.run.none_finished");
  if (ended === "stopped") return [finished];
  if (ended === "failed") {
    const words = memory ? "memory" : trouble ? "failed" : "crashed";
    return [say(`posting.run.${words}`, { trouble }), finished];
  }
  return [
    made ? sayMany("posting.run.done", made) : say("posting.run.nothing"),
    ...(made && kept ? [sayMany("posting.run.stayed", kept)] : []),
    ...(removed ? [sayMany("posting.run.removed", removed)] : []),
    ...(aside.length ? [sayMany("posting.run.aside", aside.length, { names: aside.join(", ") })] : []),
  ];
}
