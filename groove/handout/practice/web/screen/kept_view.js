// Shows the student what is kept: how the page opened, the minutes practised, and the button that
// forgets all of it after one question.

import { Kept, onForget } from "../kept/kept.js";
import { say } from "../music/words.js";
import { html } from "./svg.js";

const MINUTE = 60;
const HOUR = 60; // minutes

const $ = (id) => document.getElementById(id);

export class KeptView {
  /**
   * opened: how the page opened. changed: called when its settings were put back, forth or made the
   * student's own.
   */
  constructor(opened, changed) {
    Object.assign(this, { opened, changed, device: new Kept("device") });
    this.question = this.#question();
    document.body.append(this.question);
    $("forget").addEventListener("click", () => this.question.showModal());
    $("put-back").addEventListener("click", () => this.#turn());
    $("opened-button").addEventListener("click", () => (this.asks === "make_mine" ? this.#mine() : this.#turn()));
    onForget(() => {
      $("kept-said").textContent = say("kept.forgotten");
      $("opened").hidden = true;
    });
    this.showOpened();
    this.refresh();
  }

  /** Says at the top how the page opened, if that is not how it came. */
  showOpened() {
    const { opened } = this;
    if (!opened.isAsItCame) this.#tell("as_left", "put_back");
    else if (opened.isLink && opened.isForOthers) this.#tell("as_linked", "make_mine");
    else $("opened").hidden = true;
  }

  /** Shows whether the settings are as they came, and whether the browser keeps anything. */
  refresh() {
    write("kept-about", say(this.device.isKept ? "kept.about" : "kept.not_kept"));
    const { isAsItCame, before } = this.opened;
    $("put-back").disabled = isAsItCame && before === null;
    write("put-back", say(isAsItCame && before !== null ? "kept.put_forth" : "kept.put_back"));
  }

  /** Shows seconds of practice: {today, week}. */
  showMinutes({ today, week }) {
    write("minutes", week ? say("kept.minutes", { today: inWords(today), week: inWords(week) }) : say("kept.no_minutes"));
  }

  /** Puts the settings back to how they came, or forth again. */
  #turn() {
    const { opened } = this;
    if (opened.isAsItCame) opened.putForth();
    else opened.putBack();
    this.changed();
    if (opened.isAsItCame) this.#tell("as_it_came", "put_forth");
    else this.#tell("as_left", "put_back");
  }

  #mine() {
    this.opened.makeMine();
    this.changed();
    $("opened").hidden = true;
    $("play").focus();
  }

  #tell(words, asks) {
    this.asks = asks;
    $("opened").hidden = false;
    write("opened-words", say(`kept.${words}`));
    write("opened-button", say(`kept.${asks}`));
  }

  #question() {
    const button = (id, words, act) => {
      const made = html("button", { type: "button", id }, say(words));
      made.addEventListener("click", () => {
        this.question.close();
        act();
      });
      return made;
    };
    return html(
      "dialog",
      { id: "forget-question", "aria-labelledby": "forget-asked" },
      html("p", { id: "forget-asked" }, say("kept.question")),
      html("div", { class: "fields" }, button("forget-no", "kept.no", () => {}), button("forget-yes", "kept.yes", () => this.device.forget())),
    );
  }
}

function write(id, words) {
  if ($(id).textContent !== words) $(id).textContent = words;
}

/** A time in words: "less than a minute", "25 min", "1 h 5 min". */
function inWords(seconds) {
  const minutes = Math.floor(seconds / MINUTE);
  if (!minutes) return say(seconds > 0 ? "kept.no_minute" : "kept.none");
  if (minutes < HOUR) return say("session.minutes", { minutes });
  return say("kept.hours", { hours: Math.floor(minutes / HOUR), minutes: minutes % HOUR });
}
