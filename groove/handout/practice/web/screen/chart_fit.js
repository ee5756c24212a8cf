// The sizes of a chart on the screen: lines as they are written, halved where their chords would be too small;
// in the play view and on a music stand the largest chords with which all of it is in view, if they can be read.

const BARS_A_LINE = 4;
const ROWS = [1, 2, 4]; // into which a line may be broken
/** CSS pixels of the smallest chord in a layout; a line with smaller ones is halved. */
const SMALLEST = { page: 13.5, play: 15, stand: 20 };
/**
 * The sizes of chords in CSS pixels where a chart has a place of its own, the largest first; `read`: chords of that
 * size are read from where the student is, and smaller ones are of use only if all of the chart is in view then.
 */
const SIZES = {
  play: { sizes: [40, 36, 32, 29, 26, 24, 22, 20], read: 22, fewest: 2 },
  stand: { sizes: [120, 108, 96, 86, 77, 69, 62, 55, 49, 44, 40, 36, 32, 29, 26, 24], read: 36, fewest: 3 },
};
const HALVED = 0.65; // share of the chart's size; a line with chords that would be smaller is halved there
const LEAST_FIT = 0.8; // share of their size to which single chords may shrink there

/** lines: the bars of each line of the chart, as {button, share} of the line's width. */
export function fitChart(place, lines, layout) {
  place.style.removeProperty("--size");
  if (SIZES[layout]) place.style.setProperty("--size", `${sizeIn(place, lines, SIZES[layout])}px`);
  fitLines(lines, layout);
}

/** Breaks lines where their chords would be too small for a layout, and gives each bar the width that it needs. */
export function fitLines(lines, layout) {
  const [[{ button }]] = lines;
  const size = parseFloat(getComputedStyle(button).getPropertyValue("--size")) || 0; // in CSS pixels, in a layout that sets it
  breakLines(lines, Math.max(SMALLEST[layout], SIZES[layout] ? HALVED * size : 0));
  for (const line of lines) spreadWords(line);
}

/** Gives the words over the bars of a line room above them, over the bars beside them that have none. */
function spreadWords(line) {
  const wide = line.map(({ button }) => button.offsetWidth);
  const words = line.map(({ button }) => button.querySelector(".told"));
  const rows = line.map(({ button }, n) => (button.matches(".first") ? n : -1)).filter((n) => n >= 0);
  rows.forEach((start, row) => {
    const stop = rows[row + 1] ?? line.length;
    let high = 0;
    for (let n = start; n < stop; n++) {
      if (!words[n]) continue;
      let end = n + 1;
      while (end < stop && !words[end]) end += 1;
      words[n].style.width = `${wide.slice(n, end).reduce((sum, each) => sum + each, -6)}px`;
      high = Math.max(high, words[n].offsetHeight);
    }
    for (let n = start; n < stop; n++) line[n].button.style.marginTop = high ? `${high}px` : "";
  });
}

/**
 * The largest size of chords with which the whole chart is in view; where that is too small to read, the largest
 * with which the fewest lines are.
 */
function sizeIn(place, lines, { sizes, read, fewest }) {
  let some = null;
  for (const size of sizes) {
    place.style.setProperty("--size", `${size}px`);
    for (const line of lines) breakLine(line, 1);
    if (smallest(lines.flat()) < LEAST_FIT * size) continue;
    if (place.scrollHeight <= place.clientHeight) return some === null || size >= read ? size : some;
    if (size >= read && fewest * heightOf(lines[0]) <= place.clientHeight) some ??= size;
  }
  return some ?? read;
}

function heightOf([{ button }]) {
  return button.parentElement.offsetHeight;
}

/** Breaks each line into as many rows as its chords need. */
function breakLines(lines, least) {
  let wide = lines;
  for (const rows of ROWS) {
    for (const line of wide) breakLine(line, rows);
    for (const { button } of wide.flat()) button.querySelector(".chords").style.removeProperty("--fit");
    wide = wide.filter((line) => smallest(line) < least);
  }
}

/** Sets the bars of a line to so many rows: widths, and a number at the start of each row. */
function breakLine(line, rows) {
  const most = BARS_A_LINE / rows;
  line.forEach(({ button, share }, n) => {
    const row = line.slice(n - (n % most), n - (n % most) + most);
    const sum = row.reduce((total, other) => total + other.share, 0);
    const scale = row.length === most ? 1 / sum : Math.min(rows, 1 / sum);
    button.style.flexBasis = percent(share * scale);
    button.classList.toggle("first", n % most === 0);
    button.classList.toggle("last", n % most === most - 1 || n === line.length - 1);
  });
}

/** Sets the chords of each bar as large as they fit, and returns the size of the smallest in CSS pixels. */
function smallest(bars) {
  const chords = bars.map(({ button }) => button.querySelector(".chords"));
  for (const line of chords) line.style.removeProperty("--fit");
  const shares = chords.map((line) => Math.min(1, (0.98 * line.clientWidth) / line.scrollWidth));
  chords.forEach((line, n) => line.scrollWidth > line.clientWidth && line.style.setProperty("--fit", shares[n]));
  return Math.min(...chords.map((line) => parseFloat(getComputedStyle(line).fontSize)));
}

/** A share of a width for a style; rounded down, so that a line's bars never need more than all of it. */
export function percent(share) {
  return `${Math.floor(99999.9 * share) / 1000}%`;
}
