// The line that says what is kept, and the notice of a file that another program has changed.

import { say } from "../practice/music/words.js";

const $ = (id) => document.getElementById(id);

export class KeptLine {

  constructor(state) {
    this.state = state;
    for (const id of ["take-from-disk", "keep-over-disk"]) $(id).addEventListener("click", () => this.#decide(id));
    $("lost-seen").addEventListener("click", () => this.#close());
  }

  async #decide(id) {
    await this.state.ask(id);
    $("undo").focus();
  }

  #close() {
    $("lost").hidden = true;
    $("undo").focus();
  }

  /** Shows that another window was quicker, and what was written here and is lost, until it has been read. */
  #showLost(text) {
    const words = [say("kept.conflict"), ...(text ? [say("kept.lost", { text })] : [])].join(" ");
    $("lost-words").textContent = words;
    $("lost").hidden = false;
  }

  /** Takes in what became of the connection or of an edit. */
  tell(news, trouble = "", written = "") {
    if (news === "conflict") this.#showLost(written);
    const words = { gone: "kept.gone", refused: "kept.refused", failed: "kept.failed" }[news];
    const said = words ? say(words, { trouble }) : "";
    const text = news === "refused" && written ? `${said} ${say("kept.lost", { text: written })}` : said;
    if ($("trouble").textContent !== text) $("trouble").textContent = text;
    $("trouble").hidden = !words;
  }

  /** Shows whether all of a state is kept. */
  show(state) {
    const { name, changedOutside } = state;
    const text = say(`kept.${kindOf(state)}`, { name });
    if ($("kept").textContent !== text) $("kept").textContent = text;
    if ($("outside").hidden === changedOutside) $("outside").hidden = !changedOutside;
  }
}

function kindOf({ isValid, changedOutside, isEmpty, facts }) {
  if (changedOutside) return "beside";
  if (isValid) return "all";
  if (isEmpty) return "empty";
  return facts ? "draft" : "never";
}
