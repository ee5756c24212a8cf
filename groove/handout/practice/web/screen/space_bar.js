// The space bar plays and stops, unless it belongs to the control that has the focus. After a press
// with a pointer it plays and stops too, although the button keeps the focus.

/** Calls `act` when the space bar is pressed and is free. */
export function onSpaceBar(act) {
  let byPointer = false;
  let taken = false;
  addEventListener("pointerdown", () => (byPointer = true), true);
  addEventListener("keydown", (event) => {
    if (event.code !== "Space") {
      byPointer = false;
      return;
    }
    if (isForControl(event.target, byPointer)) return;
    event.preventDefault();
    taken = true;
    if (!event.repeat) act();
  });
  addEventListener("keyup", (event) => {
    if (event.code !== "Space" || !taken) return;
    event.preventDefault(); // some browsers press a button only now
    taken = false;
  });
}

function isForControl(element, byPointer) {
  if (element.matches("input:not([type=range]), select, textarea")) return true;
  return element.matches("button, a, summary") && !byPointer;
}
