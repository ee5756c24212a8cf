// A WAV file of 16 bits from an audio buffer (RIFF and WAVE, Microsoft and IBM 1991, from memory).

export function wavFile(buffer) {
  const channels = buffer.numberOfChannels;
  const bytes = buffer.length * channels * 2;
  const view = new DataView(new ArrayBuffer(44 + bytes));
  const text = (at, letters) => [...letters].forEach((c, i) => view.setUint8(at + i, c.charCodeAt(0)));
  text(0, "RIFF");
  view.setUint32(4, 36 + bytes, true);
  text(8, "WAVEfmt ");
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, channels, true);
  view.setUint32(24, buffer.sampleRate, true);
  view.setUint32(28, buffer.sampleRate * channels * 2, true);
  view.setUint16(32, channels * 2, true);
  view.setUint16(34, 16, true);
  text(36, "data");
  view.setUint32(40, bytes, true);
  const sides = Array.from({ length: channels }, (_, side) => buffer.getChannelData(side));
  let at = 44;
  for (let i = 0; i < buffer.length; i++) {
    for (const side of sides) {
      view.setInt16(at, Math.round(Math.max(-1, Math.min(1, side[i])) * 32767), true);
      at += 2;
    }
  }
  return new Uint8Array(view.buffer);
}
