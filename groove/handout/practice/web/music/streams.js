// The notes of a stream from its text: streams.py says how it is written.

const BASE = 46;
const DIGITS = new Map(Array.from({ length: 95 }, (_, n) => String.fromCharCode(32 + n))
  .filter((sign) => !'"\\<'.includes(sign))
  .map((sign, digit) => [sign, digit]));
const NOTHING = [0, 0, 0, 0, 0];

/** The whole numbers in a text. */
export function* numbersIn(text) {
  let number = 0;
  let worth = 1;
  for (const sign of text) {
    const digit = DIGITS.get(sign);
    number += (digit % BASE) * worth;
    worth *= BASE;
    if (digit >= BASE) continue;
    yield number % 2 ? -(number + 1) / 2 : number / 2;
    [number, worth] = [0, 1];
  }
}

/** The rows of a stream: [tick, length, pitch, velocity, touch]. */
export function rowsOf(streams, number) {
  const stream = streams[number];
  if (typeof stream === "string") return summed(numbersIn(stream));
  const [home, semitones, text] = stream;
  return differing(rowsOf(streams, home), semitones, numbersIn(text));
}

function summed(numbers) {
  const rows = [];
  for (let row = NOTHING; ; rows.push(row)) {
    row = more(row, numbers);
    if (!row) return rows;
  }
}

function differing(home, semitones, numbers) {
  const rows = [];
  const up = ([tick, length, pitch, velocity, touch]) => [tick, length, pitch + semitones, velocity, touch];
  let at = 0;
  for (let same = numbers.next(); !same.done; same = numbers.next()) {
    for (const row of home.slice(at, at + same.value)) rows.push(up(row));
    at += same.value;
    const there = home.slice(at, at + numbers.next().value);
    const instead = numbers.next().value;
    for (let place = 0; place < instead; place++) {
      const beside = there.length ? there[Math.min(place, there.length - 1)] : home[at - 1] ?? NOTHING;
      rows.push(more(beside, numbers));
    }
    at += there.length;
  }
  for (const row of home.slice(at)) rows.push(up(row));
  return rows;
}

/** A row and the next five numbers together; null where there are none left. */
function more(row, numbers) {
  const sum = row.map((value) => value + numbers.next().value);
  return Number.isNaN(sum[0]) ? null : sum;
}
