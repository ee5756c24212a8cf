"""Print how exact and how quick the practice page's tuner is, beside a general pitch tracker.

Run as ``python -m tests.bench.tuner`` from the checkout; ``--steps N``: tones of each kind from 28
to 1,400 Hz, 40 if left out (low kinds to 500 Hz). Debian's Chromium runs the page's own code. For
each kind of tone and each noise a line: readings that are missing or more than 50 cents off, the
share within 2 cents, and the root of the mean square and the largest of the other errors in cents;
of the tuner as it hears one moment, then of librosa's yin (de Cheveigné & Kawahara 2002) on the
last 0.17 s of the same samples. Then for open strings the seconds from the stroke until the
steady reading is there and stays within 2 cents, and the spread of readings of a held tone.
"""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import librosa
import numpy as np
from playwright.sync_api import sync_playwright

from groove.form.read import read_form
from groove.handout.practice.make import make_page
from tests.browser.conftest import ARGUMENTS, CHROMIUM
from tests.browser.test_practice_tuner import KINDS, LOW_ONLY, steadied
from tests.browser.tuner_material import (
    LISTENED,
    RATE,
    Sound,
    cents,
    heard,
    noise,
    pitches,
    string,
    wind,
)

LOWEST, HIGHEST, HIGHEST_LOW = 28.0, 1400.0, 500.0
NOISES: dict[str, tuple[float | None, bool]] = {
    "none": (None, False),
    "white 20 dB": (20.0, False),
    "white 10 dB": (10.0, False),
    "white 3 dB": (3.0, False),
    "pink 20 dB": (20.0, True),
    "pink 10 dB": (10.0, True),
}
AT_ONCE = 40
"""Sounds that are handed to the browser at once."""
GROSS, EXACT = 50.0, 2.0
"""Cents: another note; within what a tuner has to be."""
STRINGS = {
    "B0": 30.868, "E1": 41.203, "A1": 55.0, "B1": 61.735, "D2": 73.416, "E2": 82.407,
    "A2": 110.0, "D3": 146.832, "G3": 195.998, "E4": 329.628,
}  # fmt: skip

Tracker = Callable[[Sequence[Sound]], list[float | None]]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--steps", type=int, default=40)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        path = make_page(read_form("twelve-bar"), Path(folder) / "page.html")
        browser = playwright.chromium.launch(
            executable_path=str(CHROMIUM), headless=True, args=list(ARGUMENTS)
        )
        page = browser.new_page()
        page.goto(path.as_uri())
        page.wait_for_function("() => practice.ready")
        print_exactness(page, asked.steps)
        print_quickness(page)
        print_steadiness(page)
        browser.close()


def print_exactness(page: Any, steps: int) -> None:
    trackers: dict[str, Tracker] = {
        "tuner": lambda sounds: of_page(page, sounds),
        "yin": lambda sounds: [yin(sound) for sound in sounds],
    }
    print(f"{'kind':27}{'noise':13}" + "".join(f"| {name:32}" for name in trackers))
    print(f"{'':40}" + f"| {'missing gross  ≤2 ct   rms    max':32}" * len(trackers))
    for kind, make in KINDS.items():
        top = HIGHEST_LOW if kind in LOW_ONLY else HIGHEST
        for name, how in NOISES.items():
            rng = np.random.default_rng(list(f"{kind}{name}".encode()))
            true = [
                hertz * 2 ** rng.uniform(-1 / 24, 1 / 24)
                for hertz in np.geomspace(LOWEST * 1.03, top / 1.03, steps)
            ]
            sounds = [heard(make(hertz, 0.7, rng), 0.7, rng, *how) for hertz in true]
            told = "".join(f"| {row(track(sounds), true):32}" for track in trackers.values())
            print(f"{kind:27}{name:13}{told}")


def of_page(page: Any, sounds: Sequence[Sound]) -> list[float | None]:
    parts = [sounds[n : n + AT_ONCE] for n in range(0, len(sounds), AT_ONCE)]
    return [found for part in parts for found in pitches(page, part)]


def yin(sound: Sound) -> float | None:
    found = librosa.yin(sound, fmin=26.0, fmax=1500.0, sr=RATE, frame_length=8192, center=False)
    return float(found[-1])


def row(found: Sequence[float | None], true: Sequence[float]) -> str:
    off = [abs(cents(one, hertz)) for one, hertz in zip(found, true, strict=True) if one]
    fine = np.array([one for one in off if one <= GROSS] or [np.nan])
    exact = sum(one <= EXACT for one in off) / len(true)
    gross = len(off) - sum(one <= GROSS for one in off)
    rms = np.sqrt(np.mean(fine**2))
    return f"{len(true) - len(off):5}{gross:7}{exact:8.0%}{rms:7.2f}{fine.max():7.2f}"


def print_quickness(page: Any) -> None:
    print("\nseconds from the stroke to a steady reading within 2 cents; noise 20 dB below")
    for name, hertz in STRINGS.items():
        told = []
        for corner in (0.0, 180.0):
            rng = np.random.default_rng(7)
            tone = 0.2 * string(hertz, 1.0, rng, corner=corner)
            level = 0.1 * float(np.sqrt(np.mean(tone[: RATE // 2] ** 2)))
            sound = np.concatenate([np.zeros(LISTENED), tone])
            found = steadied(page, sound + level * noise(len(sound), rng))
            wrong = [n for n, one in enumerate(found) if not one or abs(cents(one, hertz)) > EXACT]
            told.append((max(wrong) + 1) / 20)
        print(f"{name:4}{hertz:8.1f} Hz: {told[0]:.2f}; by a phone {told[1]:.2f}")


def print_steadiness(page: Any) -> None:
    print("\nspread of the steady readings of a held tone in cents, in 2 s")
    for hertz in (30.868, 41.203, 82.407, 110.0, 329.628, 880.0):
        told = []
        for ratio in (30, 20, 10):
            rng = np.random.default_rng(8)
            tone = wind(hertz, 2.4, rng)
            level = float(np.sqrt(np.mean(tone**2))) * 10 ** (-ratio / 20)
            found = steadied(page, 0.1 * (tone + level * noise(len(tone), rng)))[4:]
            kept = [one for one in found if one]
            told.append(f"{ratio} dB {cents(max(kept), min(kept)):.2f}")
        print(f"{hertz:8.1f} Hz: " + ", ".join(told))


if __name__ == "__main__":
    main()
