// The entry of the screen's program: connects the form's state with the chart, the fields and the commands.

import { html } from "../practice/screen/svg.js";
import { say, useWords, wordsAt } from "../practice/music/words.js";
import { asked } from "./asked.js";
import { Chart } from "./chart/chart.js";
import { KeptLine } from "./kept_line.js";
import { ListenView } from "./listen/listen_view.js";
import { Mistakes } from "./mistakes.js";
import { OrderView } from "./fields/order_view.js";
import { Parts } from "./parts.js";
import { FormState } from "./state.js";
import { useChoices } from "./fields/choices.js";
import { WholeForm } from "./fields/whole_form.js";

const OF_THE_LESSON = new Set(["teacher", "link", "invite", "remarks", "learner", "plays", "solo", "words", "blocks", "headings", "phrases"]);
const $ = (id) => document.getElementById(id);

const { words, choices } = JSON.parse($("given").textContent);
useWords(words);
useChoices(choices);

const keptLine = new KeptLine({ ask: (path) => state.ask(path) });
const state = new FormState({ changed: show, told: (...news) => keptLine.tell(...news) });
const chart = new Chart($("chart"), state, announce);
const whole = new WholeForm(state, choices);
const order = new OrderView(state, announce);
const mistakes = new Mistakes({ go: goToMistake, announce });
const listen = new ListenView(state, chart, announce);
const parts = new Parts({ state, listen, announce, choices, asked });
/** What tests reach from outside. */
export const screen = { state, chart, listen, parts, ready: false };
globalThis.groove = screen;

const commands = {
  undo: () => goBack("undo"),
  redo: () => goBack("redo"),
  insert,
  remove,
  copy: () => chart.selection.copy(),
  paste: () => chart.selection.paste(),
  several: chooseSeveral,
};
for (const [id, act] of Object.entries(commands)) {
  $(id).addEventListener("click", () => $(id).getAttribute("aria-disabled") !== "true" && act());
}
$("commands").addEventListener("pointerdown", (event) => {
  if (chart.current?.isOpen) event.preventDefault(); // the field stays open until the command
});
$("add-section").addEventListener("click", () => chart.addSection());
document.getElementById("to-chart").addEventListener("click", toChart);
document.addEventListener("keydown", undoByKey);
document.addEventListener("keydown", playByKey);
showKeys();
prepareBand();
await state.open();
parts.begin();
screen.ready = true;

/** Has the sounds of the band's two bars made ready, once the form itself can be heard. */
function prepareBand() {
  let isAsked = false;
  listen.onMusic(() => {
    if (!isAsked) asked("band/ready", {}).catch(() => {}); // the band's part says what is wrong
    isAsked = true;
  });
}

function show(now) {
  document.title = say("page.title_of", { title: now.facts?.title ?? now.name });
  chart.show(now);
  whole.show(now);
  order.show(now);
  mistakes.show(now);
  keptLine.show(now);
  listen.show(now);
  parts.show(now);
  $("start-from").hidden = !now.isEmpty;
  $("undo").setAttribute("aria-disabled", String(!now.canUndo));
  $("redo").setAttribute("aria-disabled", String(!now.canRedo));
}

/** Has words read out, those that were read out last as well. */
function announce(words) {
  $("said").textContent = $("said").textContent === words ? `${words}\u00a0` : words;
}

async function goBack(way) {
  chart.current?.close();
  await state.ask(way);
  announce(say(`commands.${way === "undo" ? "undone" : "redone"}`));
}

function undoByKey(event) {
  if (!(event.ctrlKey || event.metaKey) || event.altKey || event.defaultPrevented) return;
  const key = event.key.toLowerCase();
  const way = key === "y" || (key === "z" && event.shiftKey) ? "redo" : key === "z" ? "undo" : null;
  if (!way) return;
  event.preventDefault();
  const cell = chart.current?.isOpen ? chart.current : null;
  goBack(way);
  if (cell) chart.goTo(cell);
}

/** Ctrl and the space bar play or stop, wherever the focus is. */
function playByKey(event) {
  if (event.code !== "Space" || !(event.ctrlKey || event.metaKey) || event.repeat) return;
  event.preventDefault();
  listen.playOrStop();
}

/** Goes to the bar where one was, or to the first one. */
function toChart(event) {
  event.preventDefault();
  parts.go("form");
  chart.goTo(chart.current ?? chart.allCells[0]);
}

function insert() {
  const cell = chart.current ?? chart.allCells.at(-1);
  cell.close();
  chart.insertBeside(cell);
}

function remove() {
  const range = chart.selection.range;
  if (!range?.count) return;
  chart.current.takeBack();
  chart.selection.clear();
  chart.goTo(chart.remove(range.section, range.bar, range.count));
}

function chooseSeveral() {
  chart.takesSeveral = !chart.takesSeveral;
  $("several").setAttribute("aria-pressed", String(chart.takesSeveral));
  $("several-hint").hidden = !chart.takesSeveral;
  if (!chart.takesSeveral) chart.selection.clear();
}

/** Goes to the place of a mistake. */
async function goToMistake(mistake) {
  const { of, place, field, bar } = mistake;
  if (of === "phrases" || (!of && OF_THE_LESSON.has(field))) {
    const part = await parts.reach("lesson");
    await part.ready;
    part.inputOf(mistake)?.focus();
    return;
  }
  parts.go("form");
  const section = chart.sections[of === "sections" ? place : 0];
  if (of === "order") order.inputOf(place, field)?.focus();
  else if (of === "sections" || (!of && field === "chords")) goToSection(section, field, bar);
  else (whole.inputOf(field) ?? section.inputOf(field) ?? chart.allCells[0].button).focus();
}

function goToSection(section, field, bar) {
  const input = field === "chords" ? null : section?.inputOf(field);
  if (input) input.focus();
  else chart.goTo(section?.places[bar ?? 0] ?? section?.places[0]);
}

function showKeys() {
  for (const [keys, does] of wordsAt("keys.list")) {
    const signs = keys.split(" ").map((key) => html("kbd", {}, key));
    $("key-list").append(html("div", {}, html("dt", {}, ...signs), html("dd", {}, does)));
  }
}
