// The recorded notes: unpacked and decoded when the page opens, so that play starts without a wait.

const PULSE_SEARCHED_SECONDS = 0.3;

/** The notes of all instruments by the instrument's name, each with a buffer of its own. */
export async function decodeSounds(packed) {
  const decoder = new OfflineAudioContext(1, 1, 44100);
  const entries = await Promise.all(
    Object.entries(packed).map(async ([name, sound]) => {
      const whole = await decoder.decodeAudioData(bytesOf(sound.mp3).buffer);
      return [name, cut(whole, sound)];
    }),
  );
  return Object.fromEntries(entries);
}

function bytesOf(base64) {
  const text = atob(base64);
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
  return bytes;
}

/** The notes of an instrument, counted from the place of the decoded pulse. */
function cut(whole, sound) {
  const samples = whole.getChannelData(0);
  const late = pulseFrame(samples, PULSE_SEARCHED_SECONDS * sound.rate) - sound.pulse;
  const notes = sound.notes.map(([pitch, velocity, first, frames, gain, place, loop, loopEnd, decay]) => {
    const buffer = new AudioBuffer({ length: frames, sampleRate: sound.rate, numberOfChannels: 1 });
    buffer.copyToChannel(samples.subarray(first + late, first + late + frames), 0);
    return {
      pitch,
      velocity,
      buffer,
      gain,
      place,
      loop: loopEnd ? { start: loop / sound.rate, end: loopEnd / sound.rate, decay } : null,
    };
  });
  return notes;
}

function pulseFrame(samples, most) {
  let loudest = 0;
  for (let i = 1; i < Math.min(most, samples.length); i++) {
    if (Math.abs(samples[i]) > Math.abs(samples[loudest])) loudest = i;
  }
  return loudest;
}

/** The recorded note nearest to what is to sound: first in pitch, then in strength. */
export function nearestNote(notes, pitch, velocity) {
  let best = null;
  let least = Infinity;
  for (const note of notes) {
    const far = Math.abs(note.pitch - pitch) * 1000 + Math.abs(note.velocity - velocity);
    if (far < least) [best, least] = [note, far];
  }
  return best;
}
