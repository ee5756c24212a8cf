// Turns a chart that is higher than its place: before the last line in view ends, that line comes to the top
// and the next ones follow it. It waits while the student looks elsewhere in the chart with a finger or a wheel.

const WAITS_MS = 5000;

export class Turning {
  /** place: the element that holds the chart and scrolls. calm: a media query; motion is unwelcome where it matches. */
  constructor(place, calm) {
    Object.assign(this, { place, calm, isOn: false, touched: -Infinity });
    for (const event of ["wheel", "touchmove"]) {
      place.addEventListener(event, () => (this.touched = performance.now()), { passive: true });
    }
  }

  /** Brings the button of a bar into view, and what follows it. */
  show(button) {
    const { place } = this;
    if (!this.isOn || !button || place.scrollHeight <= place.clientHeight) return;
    if (performance.now() - this.touched < WAITS_MS) return;
    const row = sameRow(button);
    const end = place.scrollTop + place.clientHeight + 1;
    const isSeen = row[0].offsetTop >= place.scrollTop - 1 && footOf(button) <= end;
    const isHalfOver = 2 * (row.indexOf(button) + 1) > row.length;
    const next = barAfter(row.at(-1));
    if (isSeen && (!isHalfOver || !next || footOf(next) <= end)) return;
    const top = topOf(row[0]);
    place.scrollTo({ top, behavior: this.calm.matches ? "auto" : "smooth" });
  }
}

/** The bars that stand in one row with a bar, from the left. */
function sameRow(button) {
  return [...button.parentElement.children].filter((other) => other.offsetTop === button.offsetTop);
}

function footOf(button) {
  return button.offsetTop + button.offsetHeight;
}

/** The first bar of the row below; undefined after the last one. */
function barAfter(button) {
  if (button.nextElementSibling) return button.nextElementSibling;
  let line = button.parentElement.nextElementSibling;
  while (line && !line.matches(".row")) line = line.nextElementSibling;
  return line?.firstElementChild;
}

/** The top of a row: of its section's name or its words, where they stand over it. */
function topOf(first) {
  const head = first.previousElementSibling ? null : first.parentElement.previousElementSibling;
  return head?.matches(".section-name") ? head.offsetTop : first.offsetTop - parseFloat(getComputedStyle(first).marginTop);
}
