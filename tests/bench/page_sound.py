"""Print how the practice page sounds beside the track: loudness, peaks, room, crash and stereo.

Run as ``python -m tests.bench.page_sound [--keys N] [--soundfont FILE] [FORM ...]`` from the
checkout; FORMs are numbers of `FORMS`, all if left out. Debian's Chromium plays each page into a
file, part by part, and so does ``groove make``. For each form and key a line: of each part the LU
by which the page is louder than the stem, of the mix its LUFS and true peak (dBTP, by ffmpeg), and
the dB by which the page's left less right and side less middle differ from the track's. N: keys of
each form, 1 if left out; with 12 each in all keys. Then the seconds that a crash rings until it is
60 dB down, and the room's T60 in seconds as the page plays it.
"""

from __future__ import annotations

import argparse
import base64
import io
import re
import subprocess
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
import pyloudnorm
import soundfile
from numpy.typing import NDArray
from playwright.sync_api import sync_playwright

import groove
from groove.form.choruses import in_key
from groove.form.model import Form
from groove.form.read import read_form
from groove.handout.practice.make import make_page
from groove.theory.keys import twelve_keys

RATE = 44_100
FORMS: tuple[tuple[str, dict[str, Any]], ...] = (
    (
        "twelve-bar",
        {
            "drums": "shuffle",
            "comping": "shuffle-chops, boogie-piano",
            "percussion": "shaker",
            "tempo": 132,
        },
    ),
    ("i-v-vi-iv", {"drums": "eighths-rock", "tempo": 126}),
    ("jazz-twelve-bar", {"drums": "medium-swing", "tempo": 150}),
    ("minor-vamp", {"drums": "sixteenth-funk", "tempo": 104}),
    ("i-vi-iv-v", {"drums": "bossa", "tempo": 132}),
    ("eight-bar", {"drums": "one-drop", "tempo": 76}),
)
Sound = NDArray[np.float32]

RENDER = """async ({ key, silent }) => {
  const settings = practice.settings.copy();
  const countIn = silent.length < 2;
  Object.assign(settings, { key, forEver: false, rounds: practice.track.rounds, countIn });
  settings.muted = new Set(silent);
  const buffer = await practice.renderTrack(settings, practice.sounds);
  const both = new Float32Array(2 * buffer.length);
  for (let side = 0; side < 2; side++) {
    buffer.getChannelData(side).forEach((sample, i) => (both[2 * i + side] = sample));
  }
  const blob = new Blob([both]);
  return new Promise((done) => {
    const reader = new FileReader();
    reader.onload = () => done(reader.result.split(",")[1]);
    reader.readAsDataURL(blob);
  });
}"""

STRUCK = """async ({ part, pitch, velocity, seconds, wet }) => {
  const { track, sounds } = practice;
  const context = new OfflineAudioContext(2, seconds * 44100, 44100);
  await practice.prepareBand?.(context, sounds);
  const band = new practice.Band(context, track, sounds, () => 1);
  if (wet) {
    const source = context.createBufferSource();
    source.buffer = new AudioBuffer({ length: 1, sampleRate: 44100, numberOfChannels: 1 });
    source.buffer.getChannelData(0)[0] = 0.5;
    source.connect(band.room);
    source.start();
  } else band.strike(part, pitch, velocity, 0, 8);
  const buffer = await context.startRendering();
  return Array.from(buffer.getChannelData(0));
}"""


def loudness(sound: Sound) -> float:
    return float(pyloudnorm.Meter(RATE).integrated_loudness(sound.astype(np.float64)))


def true_peak(sound: Sound) -> float:
    """dBTP by ffmpeg's meter."""
    file = io.BytesIO()
    soundfile.write(file, sound, RATE, format="WAV", subtype="FLOAT")
    said = subprocess.run(
        ["ffmpeg", "-nostats", "-i", "-", "-af", "ebur128=peak=true", "-f", "null", "-"],
        input=file.getvalue(),
        capture_output=True,
        check=True,
    ).stderr.decode()
    return float(re.findall(r"Peak:\s+(-?[\d.]+) dBFS", said)[-1])


def sides(sound: Sound) -> tuple[float, float]:
    """dB of left over right, and of the sides' difference over their middle."""
    left, right = sound.astype(np.float64).T
    side, middle = left - right, left + right
    ratios = (left @ left) / (right @ right), (side @ side + 1e-12) / (middle @ middle)
    return 10 * float(np.log10(ratios[0])), 10 * float(np.log10(ratios[1]))


def decay_seconds(sound: NDArray[np.float64], low: float = -25.0) -> float:
    """T60 from the fall between -5 and `low` dB of the energy that is still to come (Schroeder)."""
    left = np.cumsum(sound[::-1] ** 2)[::-1]
    levels = 10 * np.log10(left / left[0] + 1e-12)
    begin, end = (int(np.argmax(levels < level)) for level in (-5.0, low))
    return (end - begin) / RATE * 60 / (-5.0 - low)


def own_decay(form: Form) -> float:
    """The T60 of a form's room."""
    from groove.sound.mix.impulse_response import impulse_response
    from groove.sound.mix.room import room_of

    return decay_seconds(impulse_response(room_of(form.drums), RATE)[:, 0].astype(np.float64))


class Page:
    """A practice page in a browser, which plays into arrays."""

    def __init__(self, browser: Any, path: Path) -> None:
        self.tab = browser.new_page()
        self.tab.goto(path.as_uri())
        self.tab.wait_for_function("() => globalThis.practice?.ready")
        self.parts = [part["name"] for part in self.tab.evaluate("practice.track.parts")]

    def play(self, key: int, only: str | None = None) -> Sound:
        """The track in a key, or one part of it."""
        others = [part for part in (*self.parts, "click") if only and part != only]
        wish = {"key": key, "silent": others or ["click"]}
        said = base64.b64decode(self.tab.evaluate(RENDER, wish))
        return np.frombuffer(said, "<f4").reshape(-1, 2)

    def struck(self, **wish: Any) -> NDArray[np.float64]:
        """A stroke, or the room's answer."""
        return np.asarray(self.tab.evaluate(STRUCK, wish))


def track(form: Form, soundfont: str | None) -> dict[str, Sound]:
    """The stems of a form, and the mix under its empty name."""
    found = {}
    with tempfile.TemporaryDirectory() as folder:
        groove.make(form, folder, audio="wav", stems=True, bits=24, soundfont=soundfont)
        for path in Path(folder).glob("*.wav"):
            part = path.stem.rpartition("_")[2]
            name = part if part in groove_parts(form) else ""
            found[name] = soundfile.read(path, dtype="float32")[0]
    return found


def groove_parts(form: Form) -> list[str]:
    return [*(part.name for part in groove.compile_take(form).parts), "click"]


def compare(page: Page, form: Form, key: int, soundfont: str | None) -> str:
    """A line of how a page in a key compares with the track."""
    name = twelve_keys(form.key)[key]
    stems = track(in_key(form, name), soundfont)
    off = {part: loudness(page.play(key, part)) - loudness(stems[part]) for part in page.parts}
    mix = page.play(key)
    (left, side), (track_left, track_side) = sides(mix), sides(stems[""])
    parts = "  ".join(f"{part} {lu:+.1f}" for part, lu in off.items())
    return (
        f"{name.symbol:3} {parts:64} mix {loudness(mix):6.1f} ({loudness(stems['']):.1f}) peak "
        f"{true_peak(mix):5.1f}  left {left - track_left:+.1f} side {side - track_side:+.1f} "
        f"({side:.1f})"
    )


def main() -> None:
    options = argparse.ArgumentParser()
    options.add_argument("--keys", type=int, default=1)
    options.add_argument("--soundfont")
    options.add_argument("forms", nargs="*", type=int)
    asked = options.parse_args()
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        browser = playwright.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox", "--disable-gpu"]
        )
        for number in asked.forms or range(len(FORMS)):
            name, more = FORMS[number]
            form = read_form(name, **more, choruses=2, seed=5)
            path = Path(folder) / f"{number}.html"
            page = Page(browser, make_page(form, path, soundfont=asked.soundfont, private=True))
            print(f"{name} {more['drums']}, {path.stat().st_size / 1e6:.2f} MB", flush=True)
            home = twelve_keys(form.key).index(form.key)
            for step in range(asked.keys):
                key = (home + step * 12 // asked.keys) % 12
                print(" ", compare(page, form, key, asked.soundfont), flush=True)
            crash = page.struck(part="drums", pitch=49, velocity=110, seconds=10, wet=False)
            levels = np.sqrt((crash[: len(crash) // 441 * 441].reshape(-1, 441) ** 2).mean(axis=1))
            loud = np.flatnonzero(levels > levels.max() / 1000)
            print(f"  crash 60 dB down after {(loud[-1] + 1) / 100 if len(loud) else 0:.1f} s")
            if page.tab.evaluate("'room' in practice.sounds"):
                rung = page.struck(part="", pitch=0, velocity=0, seconds=4, wet=True)
                print(
                    f"  room: T60 {decay_seconds(rung):.2f} s, of the track {own_decay(form):.2f} s"
                )
            page.tab.close()
        browser.close()


if __name__ == "__main__":
    main()
