// The recorded notes: unpacked and decoded when the page opens, so that play starts without a wait.

const PULSE_SEARCHED_SECONDS = 0.3;
const NEAR = 4; // semitones by which a recorded note is moved without harm

/** The sets of sounds by their name: of instruments, and of the room. */
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

/**
 * A set of sounds: its notes, counted from the place of the decoded pulse, and what goes for all of
 * them: kind, release, tones, ways.
 */
function cut(whole, sound) {
  const sides = Array.from({ length: whole.numberOfChannels }, (_, side) => whole.getChannelData(side));
  const late = pulseFrame(sides[0], PULSE_SEARCHED_SECONDS * sound.rate) - sound.pulse;
  const notes = sound.notes.map(([pitch, velocity, hard, first, frames, gain, closed, cents, loop, loopEnd, decay]) => {
    const buffer = new AudioBuffer({ length: frames, sampleRate: sound.rate, numberOfChannels: sides.length });
    sides.forEach((samples, side) => buffer.copyToChannel(samples.subarray(first + late, first + late + frames), side));
    return {
      pitch,
      velocity,
      hard,
      buffer,
      gain: (gain * sound.full) / Math.abs(sides[0][late + sound.pulse]),
      closed,
      cents,
      loop: loopEnd ? { start: loop / sound.rate, end: loopEnd / sound.rate, decay } : null,
    };
  });
  const { kind, release, tones, ways } = sound;
  return { notes, kind, release, tones, ways };
}

function pulseFrame(samples, most) {
  let loudest = 0;
  for (let i = 1; i < Math.min(most, samples.length); i++) {
    if (Math.abs(samples[i]) > Math.abs(samples[loudest])) loudest = i;
  }
  return loudest;
}

/**
 * The recorded note to play: of the nearest pitch, of the softest that are struck as hard at least, and
 * of several such recordings the next one in turn.
 */
export function nearestNote(notes, pitch, velocity, turn = 0) {
  const far = (note) => Math.abs(note.pitch - pitch);
  const nearest = Math.min(...notes.map(far));
  const near = notes.filter((note) => far(note) === nearest);
  if (!near.length) return null;
  const { pitch: found } = near[0]; // not another one as far away on the other side
  const strengths = near.filter((note) => note.pitch === found).map((note) => note.velocity);
  const hard = strengths.filter((strength) => strength >= velocity);
  const strength = hard.length ? Math.min(...hard) : Math.max(...strengths);
  const alike = near.filter((note) => note.pitch === found && note.velocity === strength);
  return alike[turn % alike.length];
}

/** Of some parts, the best first, the one whose recorded notes lie near enough to all of some pitches, else the nearest. */
export function nearestPart(sounds, parts, pitches) {
  const far = (part) => {
    const recorded = sounds[part].notes.map(({ pitch }) => pitch);
    return Math.max(...pitches.map((pitch) => Math.min(...recorded.map((each) => Math.abs(each - pitch)))));
  };
  const there = parts.filter((part) => sounds[part]);
  return there.find((part) => far(part) <= NEAR) ?? there.sort((one, other) => far(one) - far(other))[0];
}
