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
const MOST_WORDS = 2; // lines of words over a bar; a line with more is halved
const FULL = 0.98; // of a bar's width

const measured = new WeakMap(); // the width of the chords of a bar, as a multiple of their size

/** lines: the bars of each line of the chart, as {button, share} of the line's width. */
export function fitChart(place, lines, layout) {
  measure(place, lines.flat());
  place.style.removeProperty("--size");
  if (SIZES[layout]) place.style.setProperty("--size", `${sizeIn(place, lines, SIZES[layout])}px`);
  fitLines(place, lines, layout);
}

/** Breaks lines where their chords would be too small for a layout, and gives each bar the width that it needs. */
export function fitLines(place, lines, layout) {
  measure(place, lines.flat());
  const size = sizeNow(lines[0][0]);
  breakLines(lines, roomIn(lines[0][0]), size, Math.max(SMALLEST[layout], SIZES[layout] ? HALVED * size : 0));
}

function breakLines(lines, room, size, least) {
  for (const line of lines) {
    const ways = ROWS.map((rows) => rowsOf(line, rows));
    const bars = ways.find((broken) => size * fitOf(broken, room, size) >= least) ?? ways.at(-1);
    writeBars(bars, room, size);
    const more = ways[ways.indexOf(bars) + 1];
    if (spreadWords(line) <= MOST_WORDS || !more) continue;
    writeBars(more, room, size);
    spreadWords(line);
  }
}

/** The size of the chart's chords in CSS pixels, before those of single bars are made smaller. */
function sizeNow({ button }) {
  const chords = chordsOf(button);
  return parseFloat(getComputedStyle(chords).fontSize) / (Number(chords.style.getPropertyValue("--fit")) || 1);
}

function chordsOf(button) {
  return button.querySelector(".chords");
}

/** Measures the chords that have not been measured yet, all at once. */
function measure(place, bars) {
  const news = bars.map(({ button }) => chordsOf(button)).filter((chords) => !measured.has(chords));
  if (!news.length) return;
  place.classList.add("measured");
  const size = parseFloat(getComputedStyle(news[0]).fontSize);
  const gap = parseFloat(getComputedStyle(news[0]).columnGap);
  for (const chords of news) {
    const wide = [...chords.children].map((chord) => chord.getBoundingClientRect().width);
    const columns = chords.matches(".many") ? [0, 1].map((column) => wide.filter((_, n) => n % 2 === column)) : wide;
    const sum = columns.flat().length && columns.reduce((total, column) => total + Math.max(...[column].flat()), 0);
    measured.set(chords, (sum + gap * (columns.length - 1)) / size);
  }
  place.classList.remove("measured");
}

/** The bars of a line in so many rows: {button, part of the width, first, last in its row}. */
function rowsOf(line, rows) {
  const most = BARS_A_LINE / rows;
  return line.map(({ button, share }, n) => {
    const row = line.slice(n - (n % most), n - (n % most) + most);
    const sum = row.reduce((total, other) => total + other.share, 0);
    const scale = row.length === most ? 1 / sum : Math.min(rows, 1 / sum);
    return { button, part: share * scale, first: n % most === 0, last: n % most === most - 1 || n === line.length - 1 };
  });
}

/** The share of a size to which the chords of some bars have to shrink, all of them. */
function fitOf(bars, room, size) {
  return Math.min(...bars.map((bar) => fit(bar, room, size)));
}

/** The width of a line, and what of a bar is not for its chords, in CSS pixels. */
function roomIn({ button }) {
  const style = getComputedStyle(button);
  const edges = ["paddingLeft", "paddingRight", "borderLeftWidth"].map((name) => parseFloat(style[name]));
  return { width: button.parentElement.clientWidth, edges: edges.reduce((sum, each) => sum + each, edges[2]) };
}

function fit({ button, part }, { width, edges }, size) {
  return Math.min(1, (FULL * (width * part - edges)) / (size * measured.get(chordsOf(button))));
}

function writeBars(bars, room, size) {
  for (const bar of bars) {
    const { button, part, first, last } = bar;
    button.style.flexBasis = percent(part);
    button.classList.toggle("first", first);
    button.classList.toggle("last", last);
    const share = fit(bar, room, size);
    if (share < 1) chordsOf(button).style.setProperty("--fit", share);
    else chordsOf(button).style.removeProperty("--fit");
  }
}

/**
 * The largest size of chords with which the whole chart is in view; where that is too small to read, the largest
 * with which the fewest lines are.
 */
function sizeIn(place, lines, { sizes, read, fewest }) {
  let some = null;
  const room = roomIn(lines[0][0]);
  const whole = lines.map((line) => rowsOf(line, 1));
  for (const size of sizes) {
    if (fitOf(whole.flat(), room, size) < LEAST_FIT) continue;
    place.style.setProperty("--size", `${size}px`);
    breakLines(lines, room, size, HALVED * size);
    if (place.scrollHeight <= place.clientHeight) return some === null || size >= read ? size : some;
    if (size >= read && some === null && fewest * Math.max(...lines.map(heightOf)) <= place.clientHeight) some = size;
  }
  return some ?? read;
}

/** The height of a line with its words and with the name of its section. */
function heightOf([{ button }]) {
  const row = button.parentElement;
  const head = row.previousElementSibling;
  const top = head?.matches(".section-name") ? head.offsetTop : row.offsetTop;
  return row.offsetTop + row.offsetHeight - top;
}

/**
 * Gives the words over the bars of a line room above them, over the bars beside them that have none. Returns how
 * many lines of words stand there at most.
 */
function spreadWords(line) {
  const words = line.map(({ button }) => button.querySelector(".told"));
  const some = words.find(Boolean);
  if (!some) return 0;
  const wide = line.map(({ button }) => button.offsetWidth);
  const rows = line.map(({ button }, n) => (button.matches(".first") ? n : -1)).filter((n) => n >= 0);
  const heights = rows.map((start, row) => {
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
    return high;
  });
  return Math.floor(Math.max(...heights) / parseFloat(getComputedStyle(some).lineHeight));
}

/** A share of a width for a style; rounded down, so that a line's bars never need more than all of it. */
export function percent(share) {
  return `${Math.floor(99999.9 * share) / 1000}%`;
}
