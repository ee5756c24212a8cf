// Inflates the page's data and its program, and runs the program; deflated.py says how they are written.
// It stands in the page by itself.

const BASE = 91;
const FIRST = 35; // code of the first sign, "#"
const LEFT_OUT = 60; // code of the sign that is none, "<"

window.opening = true; // check.js sees that this browser knows modules

const $ = (id) => document.getElementById(id);

/** The bytes in a text. */
function bytesOf(text) {
  const [size, signs] = text.split(" ");
  const digit = (n) => signs.charCodeAt(n) - FIRST - (signs.charCodeAt(n) > LEFT_OUT ? 1 : 0);
  const bytes = new Uint8Array(Number(size));
  let bits = 0;
  let held = 0;
  let at = 0;
  for (let n = 0; n < signs.length; n += 2) {
    held |= (digit(n) * BASE + digit(n + 1)) << bits;
    for (bits += 13; bits >= 8; bits -= 8, held >>= 8) bytes[at++] = held;
  }
  return bytes;
}

/** Puts the text of an element in its place. */
async function inflate(element) {
  const stream = new Blob([bytesOf(element.textContent)]).stream();
  element.textContent = await new Response(stream.pipeThrough(new DecompressionStream("deflate"))).text();
}

async function open() {
  await Promise.all(["track-data", "sound-data", "program"].map((id) => inflate($(id))));
  const program = document.createElement("script");
  program.type = "module";
  program.textContent = $("program").textContent;
  $("program").replaceWith(program);
}

if (!window.tooOld) open().catch(() => window.giveUp("data-damaged"));
