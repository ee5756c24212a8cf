// The tuner's drawing: a note on five lines. The middle one is the wanted pitch; a note above it is sharp,
// below it flat, and one that is in tune is filled and square.

import { svg } from "../screen/svg.js";

const WIDTH = 220;
const LINES = [50, 10, 0, -10, -50]; // cents, from the top
const GAP = 34; // between two lines
const TOP = 26;
const LEFT = 42; // with the cents of the lines
const AT = 131; // where the note stands
const SIZE = 17;
const LONG = 4; // signs of a number that is written smaller

export class TunerDrawing {
  /** place: the element that it stands in. inTune: the cents that a note in tune may be off. */
  constructor(place, inTune) {
    this.number = svg("text", { "text-anchor": "middle", "dominant-baseline": "central" });
    this.note = svg(
      "g",
      { class: "tuner-note" },
      svg("circle", { r: SIZE }),
      svg("rect", { x: -SIZE, y: -SIZE, width: 2 * SIZE, height: 2 * SIZE, rx: 3 }),
      this.number,
    );
    const [top, bottom] = [inTune, -inTune].map(heightOf);
    const band = svg("rect", { x: LEFT, y: top, width: WIDTH - LEFT, height: bottom - top, class: "tuner-band" });
    const size = { class: "tuner-staff", viewBox: `0 0 ${WIDTH} ${heightOf(LINES.at(-1)) + TOP}`, "aria-hidden": "true" };
    this.picture = svg("svg", size, band, ...LINES.flatMap(line), this.note);
    place.append(this.picture);
    this.show(null);
  }

  /** Shows a note so many whole cents off; null for no note. isWritten: its number is written, not only its height shown. */
  show(cents, isInTune = false, isWritten = true) {
    this.picture.classList.toggle("silent", cents === null);
    this.picture.classList.toggle("in-tune", isInTune);
    if (cents === null) {
      this.number.textContent = "";
      return;
    }
    this.note.style.transform = `translate(${AT}px, ${heightOf(cents)}px)`;
    if (!isWritten) return;
    this.number.textContent = signed(cents);
    this.number.classList.toggle("tight", signed(cents).length >= LONG);
  }
}

/** A line with its cents. */
function line(cents) {
  const y = heightOf(cents);
  return [
    svg("line", { x1: LEFT, x2: WIDTH, y1: y, y2: y, class: cents ? null : "wanted" }),
    svg("text", { x: LEFT - 10, y, "text-anchor": "end", "dominant-baseline": "central", class: "cents" }, signed(cents)),
  ];
}

function signed(cents) {
  return `${cents > 0 ? "+" : cents < 0 ? "−" : ""}${Math.abs(cents)}`;
}

/** The height of some cents in the drawing: there is as much room for 0 to 10 as for 10 to 50. */
function heightOf(cents) {
  const [far, near] = LINES;
  const off = Math.min(Math.abs(cents), far);
  const spaces = off <= near ? off / near : 1 + (off - near) / (far - near);
  return TOP + 2 * GAP - Math.sign(cents) * spaces * GAP;
}
