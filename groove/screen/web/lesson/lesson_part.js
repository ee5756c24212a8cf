// The part of the page for the lesson: the teacher's words, the learner, phrases, the sheet's parts, and what will be printed.

import { html } from "../../practice/screen/svg.js";
import { wordsAt } from "../../practice/music/words.js";
import { BlocksView } from "./blocks_view.js";
import { PhrasesView } from "./phrases_view.js";
import { PreviewView } from "./preview_view.js";
import { VoiceView } from "./voice_view.js";

const REST = 600; // ms
const $ = (id) => document.getElementById(id);

export class LessonPart {
  #views = null;
  #told = null;
  #asking = null; // a promise while the lesson is fetched
  #again = false;
  #rest = 0; // the timer of what takes longer

  /** context: what all parts share, see parts.js. */
  constructor(context) {
    this.context = context;
    this.preview = new PreviewView($("preview"), context);
    this.ready = this.#begin();
    showKeys();
  }

  /** Gets what may be chosen; a server that is gone is asked again with the next state. */
  async #begin() {
    try {
      await this.#open();
    } catch {
      this.ready = null;
    }
  }

  async #open() {
    const choices = await this.context.asked("lesson/choices");
    const { state, announce } = this.context;
    this.#views = {
      voice: new VoiceView(state, choices),
      blocks: new BlocksView(state, announce),
      phrases: new PhrasesView(this.context, choices),
    };
    await this.#refresh();
  }

  /** Shows a state of the form, once the server has told the lesson of it. */
  show(now) {
    this.preview.show(now);
    if (this.#views) this.#refresh();
    else this.ready ??= this.#begin();
  }

  /** Called each time the part becomes visible. */
  opened() {
    if (this.#views) this.#refresh();
    this.preview.opened();
  }

  /** Fetches the lesson of the form as it is now; a call while one runs comes after it. */
  async #refresh() {
    if (this.#asking) {
      this.#again = true;
      return this.#asking;
    }
    this.#asking = this.#fetch();
    await this.#asking;
    this.#asking = null;
    if (!this.#again) return undefined;
    this.#again = false;
    return this.#refresh();
  }

  async #fetch() {
    const { state, asked } = this.context;
    if (!$("part-lesson").checkVisibility()) return;
    try {
      this.#told = await asked("lesson/now");
    } catch {
      return; // the line above says that the server is gone, and it is asked again
    }
    if (state.isBehind || this.#told.version !== state.now.version) return; // a newer state is on its way
    for (const view of Object.values(this.#views)) view.show(state.now, this.#told);
    this.#askEmpty();
    $("part-lesson").dataset.version = this.#told.version; // of what is shown
  }

  /** Has the parts marked that the sheet has nothing for, once nothing has changed for a while. */
  #askEmpty() {
    clearTimeout(this.#rest);
    this.#rest = setTimeout(async () => {
      try {
        this.#views.blocks.showEmpty(await this.context.asked("lesson/empty"));
      } catch {
        // no sheet can be made; the mistakes say why
      }
    }, REST);
  }

  /** The input of a mistake's place; null where it has none here. */
  inputOf({ of, place, field }) {
    if (!this.#views) return null;
    const { voice, blocks, phrases } = this.#views;
    if (of === "phrases") return phrases.inputOf(place);
    if (field === "phrases") return phrases.inputNamed();
    return voice.inputOf(field) ?? (["blocks", "headings"].includes(field) ? blocks.first : null);
  }
}

function showKeys() {
  for (const [keys, does] of wordsAt("lesson.keys.list")) {
    const signs = keys.split(" ").map((key) => html("kbd", {}, key));
    $("phrase-key-list").append(html("div", {}, html("dt", {}, ...signs), html("dd", {}, does)));
  }
}
