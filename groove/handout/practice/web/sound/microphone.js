// The microphone, as it hears: without the browser's echo cancelling, noise suppression and automatic
// gain. Tuner and recorder may have it at the same time; it is closed when both have closed it.

import { say } from "../music/words.js";

const PLAIN = { echoCancellation: false, noiseSuppression: false, autoGainControl: false };
/** What a browser's refusal means, by the name of its error. */
const REASONS = {
  NotAllowedError: "refused",
  SecurityError: "refused",
  NotFoundError: "none",
  OverconstrainedError: "none",
  NotReadableError: "busy",
  AbortError: "busy",
};

const open = new Set();

/** A microphone or camera that can't be had; its message is a sentence for the student. */
export class NoMicrophone extends Error {
  /** reason: "refused", "none", "busy", "insecure" or "failed". device: "microphone" or "camera". */
  constructor(reason, device = "microphone") {
    super(say(`record.${device}.${reason}`));
    this.reason = reason;
  }
}

/**
 * A stream of the microphone; asks the browser, so it is called from a press only. wish: what else the
 * track should be, as in getUserMedia's `audio`. Throws NoMicrophone.
 */
export async function openMicrophone(wish = {}) {
  const shared = [...open].find(isLive);
  const stream = shared ? shared.clone() : await ask("microphone", { audio: { ...PLAIN, ...wish } });
  open.add(stream);
  return stream;
}

/** Gives back a stream of openMicrophone. */
export function closeMicrophone(stream) {
  for (const made of stream.getTracks()) made.stop();
  open.delete(stream);
  if (![...open].some(isLive)) session("playback");
}

/** A stream of the camera, without sound; asks the browser. Throws NoMicrophone. */
export function openCamera(wish = {}) {
  return ask("camera", { video: { facingMode: "user", ...wish } });
}

function isLive(stream) {
  return stream.getAudioTracks().some(({ readyState }) => readyState === "live");
}

async function ask(device, wish) {
  if (!globalThis.isSecureContext) throw new NoMicrophone("insecure", device);
  if (!navigator.mediaDevices?.getUserMedia) throw new NoMicrophone("failed", device);
  if (device === "microphone") session("play-and-record");
  try {
    return await navigator.mediaDevices.getUserMedia(wish);
  } catch (error) {
    if (device === "microphone" && !open.size) session("playback");
    throw new NoMicrophone(REASONS[error?.name] ?? "failed", device);
  }
}

/** Tells a phone what the page's sound is for; with "playback" some give no microphone. */
function session(type) {
  if (navigator.audioSession) navigator.audioSession.type = type;
}
