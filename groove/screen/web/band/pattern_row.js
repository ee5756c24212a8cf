// A pattern in the list: what it is, whether it fits, and buttons to hear and to choose it.

import { html } from "../../practice/screen/svg.js";
import { say, wordsAt } from "../../practice/music/words.js";

const MOST_TITLES = 4;

export class PatternRow {
  /** kind: of the player. context: see PatternsView. view: the PatternsView, which chooses. */
  constructor(kind, pattern, context, view) {
    Object.assign(this, { kind, view });
    const { name, title } = pattern;
    this.mark = html("span", { class: "mark" });
    this.facts = html("p", { class: "pattern-facts" });
    this.why = html("p", { class: "why", id: `why-${kind}-${name}` });
    const heard = context.audition.button(title, () => ({ kind, name, whole: context.wholeBand() }));
    this.choice = html("button", { type: "button", class: "choose" });
    this.choice.addEventListener("click", () => this.#choose());
    this.more = html("button", { type: "button", class: "add", hidden: "" });
    this.more.addEventListener("click", () => this.#choose(true));
    const head = html("p", { class: "pattern-title" }, title, this.mark);
    const words = html("div", { class: "words" }, head, html("p", { class: "about" }, pattern.about), this.facts, this.why);
    this.element = html("li", { class: "pattern" }, words, html("div", { class: "acts" }, heard, this.choice, this.more));
  }

  /** Shows the pattern beside what is played. */
  show(pattern, { played, patterns }) {
    const { kind } = this;
    Object.assign(this, { pattern, played: played[kind] });
    const isChosen = this.played.includes(pattern.name);
    this.element.classList.toggle("chosen", isChosen);
    this.mark.textContent = isChosen ? ` ✓ ${say("band.choose.chosen")}` : "";
    this.facts.textContent = factsOf(pattern).join(" · ");
    this.why.textContent = pattern.why.join(" ");
    this.why.hidden = !pattern.why.length;
    const canAdd = kind === "comping" && !isChosen && this.#others(patterns).length === 1;
    const isOneOfTwo = kind === "comping" && isChosen && this.played.length > 1;
    this.act = kind === "percussion" ? (isChosen ? "remove" : "add") : isOneOfTwo ? "remove" : "choose";
    this.#label(this.choice, this.act === "choose" && isChosen ? "chosen" : this.act);
    const isDone = isChosen && this.act === "choose";
    const cannot = pattern.suits === "cannot" && !pattern.replaces.length;
    this.choice.setAttribute("aria-disabled", String(cannot || isDone));
    if (pattern.why.length) this.choice.setAttribute("aria-describedby", this.why.id);
    else this.choice.removeAttribute("aria-describedby");
    this.more.hidden = !canAdd || cannot;
    this.#label(this.more, "add");
  }

  #label(button, what) {
    button.textContent = say(`band.choose.${what}`);
    button.setAttribute("aria-label", say(`band.choose.${what}_said`, { title: this.pattern.title }));
  }

  /** Those that play chords now on the other kind of instrument. */
  #others(patterns) {
    const { voicing } = this.pattern;
    return patterns.comping.filter((each) => this.played.includes(each.name) && each.voicing !== voicing).map(({ name }) => name);
  }

  #choose(isMore = false) {
    if (!isMore && this.choice.getAttribute("aria-disabled") === "true") return;
    const { name, title } = this.pattern;
    const { kind, view, played } = this;
    if (!isMore && this.act === "remove") {
      view.choose(kind, played.filter((each) => each !== name), say("band.choose.removed", { title }));
    } else if (isMore) {
      view.choose(kind, [...this.#others(view.told.patterns), name], say("band.choose.added", { title }));
    } else if (this.act === "add") {
      view.choose(kind, [...played, name], say("band.choose.added", { title }));
    } else {
      view.choose(kind, [name], say("band.choose.done", { title }), this.pattern.replaces);
    }
  }
}

function factsOf({ meter, feel, tempo, with: usual }) {
  const facts = meter ? [meter, wordsAt("feels")[feel]] : [];
  if (tempo) facts.push(say("band.find.tempi", { low: tempo[0], high: tempo[1] }));
  if (usual?.length) {
    const titles = usual.slice(0, MOST_TITLES).join(", ") + (usual.length > MOST_TITLES ? " …" : "");
    facts.push(say("band.find.usual_with", { titles }));
  }
  return facts;
}
