// A WAV file of 16 bits from an audio buffer (RIFF and WAVE, Microsoft and IBM 1991, from memory).

const HEADER = 44;

/** The bytes of a WAV file. info: words by the four letters of their field in the INFO list. */
export function wavFile(buffer, info) {
  const channels = buffer.numberOfChannels;
  const head = wavHead({ channels, rate: buffer.sampleRate, frames: buffer.length, info });
  const sides = Array.from({ length: channels }, (_, side) => buffer.getChannelData(side));
  const bytes = new Uint8Array(head.length + buffer.length * channels * 2);
  bytes.set(head);
  bytes.set(wavSamples(sides), head.length);
  return bytes;
}

/** The bytes of a WAV file before its samples; of those there are so many frames. */
export function wavHead({ channels, rate, frames, info }) {
  const bytes = frames * channels * 2;
  const list = infoList(info);
  const view = new DataView(new ArrayBuffer(HEADER + list.length));
  const text = (at, letters) => new Uint8Array(view.buffer).set(letters, at);
  text(0, utf8("RIFF"));
  view.setUint32(4, HEADER - 8 + list.length + bytes, true);
  text(8, utf8("WAVEfmt "));
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, channels, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, rate * channels * 2, true);
  view.setUint16(32, channels * 2, true);
  view.setUint16(34, 16, true);
  text(HEADER - 8, list);
  text(HEADER - 8 + list.length, utf8("data"));
  view.setUint32(HEADER - 4 + list.length, bytes, true);
  return new Uint8Array(view.buffer);
}

/** The bytes of samples, each between -1 and 1; sides: one array of them for each channel. */
export function wavSamples(sides) {
  const view = new DataView(new ArrayBuffer(sides[0].length * sides.length * 2));
  let at = 0;
  for (let i = 0; i < sides[0].length; i++) {
    for (const side of sides) {
      view.setInt16(at, Math.round(Math.max(-1, Math.min(1, side[i])) * 32767), true);
      at += 2;
    }
  }
  return new Uint8Array(view.buffer);
}

/** A LIST chunk of the type INFO. */
function infoList(info) {
  const fields = Object.entries(info).flatMap(([name, words]) => chunk(name, [...utf8(words), 0]));
  return chunk("LIST", [...utf8("INFO"), ...fields]);
}

/** A chunk: name, size, content, and a byte after it where the size is odd. */
function chunk(name, content) {
  const size = [0, 8, 16, 24].map((bits) => (content.length >> bits) & 255);
  return [...utf8(name), ...size, ...content, ...(content.length % 2 ? [0] : [])];
}

function utf8(words) {
  return new TextEncoder().encode(words);
}
