// An Ogg file of Opus packets (RFC 3533, RFC 7845, from memory).

const RATE = 48000; // of granule positions, whatever the sound's own rate
const MOST_LACES = 255; // of a page
const SECOND = RATE; // a page holds a second at most
const SERIAL = 1;
const [FIRST, LAST] = [2, 4]; // flags of a page
const MAKER = "groove";
const POLYNOMIAL = 0x04c11db7;

const CHECKS = Uint32Array.from({ length: 256 }, (_, byte) => {
  let value = byte << 24;
  for (let bit = 0; bit < 8; bit++) value = (value << 1) ^ (value < 0 ? POLYNOMIAL : 0);
  return value;
});

/**
 * The parts of the file, each of bytes. packets: {bytes, frames} each, frames of 48,000 Hz. frames: those
 * of the sound, without what the encoder put before and after it. skip: frames that it put before.
 * comments: words by the name of their field.
 */
export function oggOpus({ packets, channels, rate, frames, skip, comments }) {
  const pages = [
    page([opusHead(channels, rate, skip)], { flags: FIRST, number: 0, granule: 0 }),
    page([opusTags(comments)], { flags: 0, number: 1, granule: 0 }),
  ];
  let [held, laces, coded] = [[], 0, 0];
  let begun = 0;
  packets.forEach(({ bytes, frames: more }, n) => {
    held.push(bytes);
    laces += Math.floor(bytes.length / 255) + 1;
    coded += more;
    const isLast = n === packets.length - 1;
    const next = isLast ? 0 : Math.floor(packets[n + 1].bytes.length / 255) + 1;
    if (!isLast && coded - begun < SECOND && laces + next <= MOST_LACES) return;
    const granule = isLast ? Math.min(coded, skip + frames) : coded;
    pages.push(page(held, { flags: isLast ? LAST : 0, number: pages.length, granule }));
    [held, laces, begun] = [[], 0, coded];
  });
  return pages;
}

function opusHead(channels, rate, skip) {
  const view = new DataView(new ArrayBuffer(19));
  new Uint8Array(view.buffer).set(utf8("OpusHead"));
  view.setUint8(8, 1); // version
  view.setUint8(9, channels);
  view.setUint16(10, skip, true);
  view.setUint32(12, rate, true);
  return new Uint8Array(view.buffer);
}

function opusTags(comments) {
  const lines = Object.entries(comments).map(([name, words]) => utf8(`${name}=${words}`));
  return joined([utf8("OpusTags"), ...counted(utf8(MAKER)), number32(lines.length), ...lines.flatMap(counted)]);
}

/** Bytes after their number. */
function counted(bytes) {
  return [number32(bytes.length), bytes];
}

function number32(value) {
  const bytes = new Uint8Array(4);
  new DataView(bytes.buffer).setUint32(0, value, true);
  return bytes;
}

/** A page of whole packets. granule: the frames up to its end. */
function page(packets, { flags, number, granule }) {
  const laces = packets.flatMap(({ length }) => [...new Array(Math.floor(length / 255)).fill(255), length % 255]);
  const view = new DataView(new ArrayBuffer(27));
  new Uint8Array(view.buffer).set(utf8("OggS"));
  view.setUint8(5, flags);
  view.setBigInt64(6, BigInt(granule), true);
  view.setUint32(14, SERIAL, true);
  view.setUint32(18, number, true);
  view.setUint8(26, laces.length);
  const bytes = joined([new Uint8Array(view.buffer), Uint8Array.from(laces), ...packets]);
  new DataView(bytes.buffer).setUint32(22, check(bytes), true);
  return bytes;
}

function check(bytes) {
  let value = 0;
  for (const byte of bytes) value = (value << 8) ^ CHECKS[(value >>> 24) ^ byte];
  return value >>> 0;
}

function joined(parts) {
  const bytes = new Uint8Array(parts.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const part of parts) {
    bytes.set(part, at);
    at += part.length;
  }
  return bytes;
}

function utf8(words) {
  return new TextEncoder().encode(words);
}
