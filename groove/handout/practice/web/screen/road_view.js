// The road on the screen: a line of buttons for each line of the order, its times and its sections.

import { lineName, passAt, roadOf, roundAt } from "../music/road.js";
import { html } from "./svg.js";
import { say } from "../music/words.js";

const MOST_TIMES = 16; // times of a line that get a button each

export class RoadView {
  /** pressed: called with the bars of what is pressed, as (from, to). */
  constructor(track, place, pressed) {
    Object.assign(this, { track, pressed });
    this.road = roadOf(track);
    this.parts = []; // {button, first, last}: what a button stands for
    this.times = this.road.lines.map(() => 0); // the time of each line whose sections are shown
    place.append(...this.road.lines.map((_, line) => this.#line(line)));
  }

  #line(line) {
    const rounds = this.road.rounds.filter((round) => round.line === line);
    const [{ start, end, passes }] = rounds;
    const { name, times, open } = this.road.lines[line];
    const said = name || lineName(passes);
    const all = this.#button("line", said, say("road.whole_line", { line: said }), () => [start, end]);
    const many = times > 1 ? html("span", { class: "times" }, say(open ? "road.times_or_more" : "road.times", { times })) : "";
    const each = times > 1 && times <= MOST_TIMES ? rounds : [];
    const numbers = each.map((round, n) => this.#button("time", String(n + 1), round.words, () => [round.first, round.last]));
    const sections = passes.length > 1 ? passes : [];
    const letters = sections.map((pass, n) =>
      this.#button("part", pass.letter || pass.name, say("road.section", { section: pass.name, line: said }), () => {
        const { first, last } = rounds[this.times[line]].passes[n];
        return [first, last];
      }),
    );
    return html("li", {}, all, many, ...numbers, html("span", { class: "parts" }, ...letters));
  }

  #button(kind, text, said, bars) {
    const button = html("button", { type: "button", class: kind, "aria-label": said, "aria-pressed": "false" }, text);
    button.addEventListener("click", () => {
      const [first, last] = bars();
      this.pressed(first + 1, last);
    });
    this.parts.push({ button, bars });
    return button;
  }

  /** Shows the bars that are practised and the bar that sounds, 0 for none. */
  show({ from, to, wholeForm, loops }, bar) {
    const round = roundAt(this.track, (bar || from) - 1);
    this.times[round.line] = round.time;
    for (const { button, bars } of this.parts) {
      const [first, last] = bars();
      button.setAttribute("aria-pressed", String(loops && !wholeForm && first + 1 === from && last === to));
      if (bar > first && bar <= last) button.setAttribute("aria-current", "true");
      else button.removeAttribute("aria-current");
    }
  }
}

/** The words of the button that ends an open line. */
export function goOnWords(track, round, asked, { forEver }) {
  const next = roundAt(track, round.end);
  const over = say(forEver ? "play.top" : "play.over");
  const name = round.end === track.bars ? over : track.road.lines[next.line].name || passAt(track, round.end).name;
  return say(asked ? "play.going_on" : "play.go_on", { name });
}
