// Keys for the controls that a student wants while he plays: each does what the control does, and says so to
// a screen reader.

import { onKey } from "../kept/keys.js";
import { say } from "../music/words.js";
import { solosOf } from "../music/track.js";

const $ = (id) => document.getElementById(id);

/** Binds the keys. changed: called with the kind of change. */
export function bindKeys(settings, changed) {
  const { track } = settings;
  const faster = (step) => () => {
    settings.setTempo(settings.tempo + step);
    changed("tempo");
    told(say("play.tempo_value", { tempo: settings.tempo }));
  };
  for (const [key, step] of [["+", 1], ["-", -1], ["f", 5], ["s", -5]]) {
    onKey(key, `keys.tempo.${key}`, faster(step), { repeats: true });
  }
  onKey("b", "keys.tap", () => $("tap").click());
  onKey("u", "keys.key_up", () => step("key", 1));
  onKey("d", "keys.key_down", () => step("key", -1));
  onKey("w", "keys.whole", () => $("whole-form").click());
  onKey("q", "keys.for_ever", () => toggle($("for-ever")));
  onKey("k", "keys.count_in", () => toggle($("count-in")));
  onKey("i", "keys.instrument", () => step("shape", 1));
  onKey("a", "keys.scale", () => step("scale", 1), { when: () => settings.shape !== "off" });
  onKey("e", "keys.place", () => step("place", 1), { when: () => settings.onNeck });
  onKey("l", "keys.left", () => toggle($("left-handed")), { when: () => settings.onNeck });
  onKey("y", "keys.solo", () => step("solo", 1), { when: () => solosOf(track).length > 1 });
  const boxes = [...document.querySelectorAll(".fader [type=checkbox]")];
  const click = boxes.findIndex((box) => box.closest(".fader").dataset.part === "click");
  onKey("0", "keys.click", () => toggle(boxes[click]));
  boxes.filter((_, n) => n !== click).slice(0, 9).forEach((box, n) => {
    const name = box.closest("label").textContent.trim();
    onKey(String(n + 1), "keys.player", () => toggle(box), { names: { name }, when: () => !box.closest(".fader").hidden });
  });
}

/** Goes on to another choice of a field, from the last to the first. */
function step(id, by) {
  const field = $(id);
  const { length } = field.options;
  field.selectedIndex = (field.selectedIndex + by + length) % length;
  field.dispatchEvent(new Event("change", { bubbles: true }));
  told(field.selectedOptions[0].textContent);
}

function toggle(box) {
  box.click();
  told(say(box.checked ? "keys.on" : "keys.off", { name: box.closest("label").textContent.trim() }));
}

function told(words) {
  $("said").textContent = words;
}
