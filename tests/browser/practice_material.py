"""Forms, recordings and measures that the tests of the practice page in a browser share."""

from __future__ import annotations

import base64
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import soundfile

FORM = {
    "title": "Ferry Landing", "key": "A", "tempo": 120, "drums": "rumba", "seed": 7,
    "ending": "hit",
}  # fmt: skip

CROWDED = {
    "title": "Vier Brücken 四橋",
    "key": "Db",
    "chords": "Imaj7:1/4 ii7b5:1/4 V7#9:1/4 Imaj9/5:1/4 ivm(maj7):1/2 V7alt:1/2 vi7 V13sus4",
    "drums": "waltz",
    "meter": "3/4",
    "choruses": 5,
    "count_in": 0,
    "key_cycle": "up",
    "tempo_step": -2,
    "a4": 432,
    "ending": "hit",
}

ASKING = {
    "title": "Stone Quay",
    "key": "Eb",
    "tempo": 300,
    "comping": "pads-organ",
    "choruses": 2,
    "count_in": 2,
    "tuning_note": True,
    "ending": "hit",
}
"""A form that asks for all that comes before the first bar, and for a player that holds notes."""


TEXTS = dict.fromkeys(
    (
        "title",
        "page_title",
        "credits",
        "notice",
        "cautions",
        "teacher",
        "remarks",
        "phrases",
        "invite",
    ),
    "",
)
"""Nothing in the places of a page for texts of its form."""


@dataclass
class Seen:
    """The requests of a page, and its error messages."""

    requests: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)


ON_TIME = 0.001
RATE = 44100
HEAR = """() => { practice.heard = (note) => (window.notes ??= [])
  .push({ ...note, ahead: note.at - practice.stage.context.currentTime }); }"""
"""Keeps every note that is handed to the audio clock, with the seconds until it sounds."""

OFFLINE = """
async ({ seconds, change, at, ahead, silent, heard, rate }) => {
  const { track, settings, sounds } = practice;
  const context = new OfflineAudioContext(1, seconds * rate + 1024, rate);
  await practice.prepareBand(context, sounds);
  const band = new practice.Band(context, track, sounds, (part) => (silent.includes(part) ? 0 : 1));
  let notes = [];
  const takeBack = band.takeBack.bind(band);
  band.takeBack = (parts, time) => {
    notes = notes.filter((note) => note.at < time || !parts.includes(note.part));
    takeBack(parts, time);
  };
  const player = new practice.Player(track, band, settings, (note) => notes.push(note));
  player.start(0);
  player.advance(at + ahead);
  if (change.key !== undefined) { settings.key = change.key; player.rejoin(at); }
  if (change.tempo) { settings.setTempo(change.tempo); player.retime(at); }
  if (change.bars) { settings.setBars(...change.bars); player.restretch(at); }
  if (change.machine) { settings.setMachine(change.machine); player.changeTurns(at); }
  player.advance(seconds);
  if (!heard) return { notes, sound: "" };
  const late = practice.lateFrames(context);
  const whole = (await context.startRendering()).getChannelData(0);
  const sound = whole.subarray(late, late + seconds * rate);
  return { notes, sound: btoa(Array.from(new Uint8Array(Int16Array.from(sound,
    (x) => x * 32767).buffer), (byte) => String.fromCharCode(byte)).join("")) };
}
"""
"""The page's own player and band in an offline context, a change made after some seconds. As live,
the notes of a little time more have been handed on by then, and some of them are taken back."""


def notes_of(
    page: Any, seconds: float, at: float = 0, ahead: float = 0.25, **change: Any
) -> list[dict[str, Any]]:
    """The notes passed to the band in some seconds, with a change after some of them."""
    wish = {
        "seconds": seconds,
        "at": at,
        "ahead": ahead,
        "change": change,
        "silent": [],
        "heard": False,
        "rate": RATE,
    }
    return list(page.evaluate(OFFLINE, wish)["notes"])


def sound_of(
    page: Any,
    seconds: float,
    at: float = 0,
    silent: tuple[str, ...] = (),
    rate: int = RATE,
    **change: Any,
) -> np.ndarray:
    """The sound of so many seconds, of shape (frames,)."""
    wish = {"seconds": seconds, "at": at, "change": change, "silent": list(silent), "heard": True}
    wish |= {"rate": rate, "ahead": 0.25}
    return np.frombuffer(base64.b64decode(page.evaluate(OFFLINE, wish)["sound"]), "<i2") / 32768


VOICES = """
globalThis.SpeechSynthesisUtterance = class { constructor(text) { this.text = text; } };
const voices = [
  { name: "far", lang: "en-US", localService: false, default: true },
  { name: "near", lang: "en-GB", localService: true, default: false },
  { name: "nah", lang: "de-DE", localService: true, default: false },
];
Object.defineProperty(globalThis, "speechSynthesis", { value: {
  getVoices: () => globalThis.noVoices ? [] : voices,
  addEventListener() {}, cancel() {}, speak(said) { globalThis.spoken?.push(said); },
} });
"""
"""Voices of the device in English and German, which say nothing, and one from elsewhere."""

GO_TO = """async (fragment) => {
  localStorage.clear();
  history.replaceState(null, "", fragment.length > 1 ? "#" : "#none"); // the same again is a change
  const changed = new Promise((done) => addEventListener("hashchange", done, { once: true }));
  location.hash = fragment;
  await changed;
}"""


def go_to(page: Any, fragment: str) -> Any:
    """The same page, set as a link with a fragment says."""
    page.evaluate(GO_TO, fragment)
    return page


def beats(notes: list[dict[str, Any]], part: str = "click") -> list[float]:
    """The times of the notes of a part."""
    return [note["at"] for note in notes if note["part"] == part]


def wait_for_beats(page: Any, count: int) -> None:
    """Wait until that many clicks have been passed to the band; HEAR has to run before."""
    page.wait_for_function(
        "(count) => (window.notes ?? []).filter((note) => note.part === 'click').length >= count",
        arg=count,
        timeout=120_000,
    )


def downloaded(page: Any, button: str) -> Path:
    """The file that a press of a button downloads."""
    with page.expect_download() as download:
        page.click(button)
    return Path(download.value.path())


def wav_of(page: Any) -> np.ndarray:
    """The sound of the WAV file that the page makes as it is set, of shape (frames, 2)."""
    sound, _ = soundfile.read(downloaded(page, "#get-wav"))
    return np.asarray(sound)


def energies(sound: np.ndarray) -> np.ndarray:
    """The energy of each of the twelve pitch classes."""
    import librosa

    chroma = librosa.feature.chroma_stft(
        y=sound.astype(np.float32), sr=44100, n_fft=16384, hop_length=4096, norm=None, tuning=0
    )
    return np.asarray(chroma.sum(axis=1))


def semitones_apart(one: np.ndarray, other: np.ndarray) -> int:
    """The semitones up from `one` to its best match with `other`."""
    here, there = energies(one), energies(other)
    return int(np.argmax([np.corrcoef(np.roll(here, n), there)[0, 1] for n in range(12)]))


def print_preview(page: Any) -> None:
    """Shows the page as it is printed. The browser says beforehand that it is going to print."""
    page.evaluate("dispatchEvent(new Event('beforeprint'))")
    page.emulate_media(media="print")


PLAY = """
({ fragment, from, to, seconds, goOnAt, jumpAt, jumpTo, again }) => {
  const { track, settings } = practice;
  if (fragment) settings.readFragment(fragment);
  else settings.setLoop(from, to);
  if (again) Object.assign(settings, { forEver: false, rounds: again });
  const heard = [];
  const band = { strike() {}, takeBack() {}, silence() {} };
  const player = new practice.Player(track, band, settings, (note) => heard.push(note));
  player.start(0);
  for (let now = 0; now < seconds && player.stage !== "stopped"; now += 0.05) {
    player.advance(now + 0.1, now);
    if (goOnAt && Math.abs(now - goOnAt) < 0.02) player.goOn(true);
    if (jumpAt && Math.abs(now - jumpAt) < 0.02) {
      settings.setLoop(jumpTo, track.bars);
      player.restretch(now + 0.015, true);
    }
  }
  return { heard, time: player.time, stage: player.stage };
}
"""
"""Plays some bars of the road, or what a link sets, by a clock of its own."""


def played_by_clock(
    page: Any, first: int = 1, last: int = 23, seconds: float = 60, **more: Any
) -> Any:
    usual = {"fragment": "", "goOnAt": 0, "jumpAt": 0, "jumpTo": 0, "again": 0}
    return page.evaluate(PLAY, usual | {"from": first, "to": last, "seconds": seconds} | more)
