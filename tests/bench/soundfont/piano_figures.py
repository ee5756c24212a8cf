"""Measures the piano's recordings and writes its recipe.

python -m tests.bench.soundfont.piano_figures PACKAGES RECIPE

PACKAGES is a folder with the packages, or into which they are fetched.
"""

from __future__ import annotations

import hashlib
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
from scipy import signal

from tests.bench.soundfont import measuring
from tests.bench.soundfont.recorded import Frames, files_of, raised, read

VERSION = "1.0.5"
STRENGTHS = {3: (0, 44), 9: (45, 78), 13: (79, 127)}
"""The strengths that are used, of sixteen, and the velocities for which each is played."""
LETTERS = ("C", "D#", "F#", "A")
KEYS = range(36, 85, 3)
SECONDS = {36: 6.0, 48: 5.5, 60: 4.8, 72: 3.6, 84: 2.5}
FADE = 0.5
BEFORE = 0.001
"""Seconds of a recording before its onset, in which it comes in."""
PEAK = -1.0
"""Decibels of the loudest frame of the set below full scale."""
SHELF = [2000.0, 3.5]
"""Hz and dB: the microphones stood far off; beside a band the hammers are to be heard."""
STRETCH = 0.5
"""How much of the stretch of the piano's tuning is left to it beside instruments that have none."""


def main() -> None:
    """Writes the recipe."""
    folder, out = Path(sys.argv[1]), Path(sys.argv[2])
    packages = {strength: _package(strength, folder) for strength in STRENGTHS}
    rows, sounds = [], {}
    for strength, package in packages.items():
        files = files_of(package, folder)
        for key in KEYS:
            name = f"{LETTERS[key % 12 // 3]}{key // 12 - 1}"
            file = f"package/audio/{name}v{strength}.ogg"
            sounds[strength, key], rate = read(files[file])
            rows.append(
                {
                    "name": f"Piano {name} {strength}",
                    "key": key,
                    "strength": strength,
                    "package": f"@audio-samples/piano-velocity{strength}",
                    "file": file,
                }
            )
    levels, cents = {}, {}
    for key in KEYS:
        step, turned = _in_step([sounds[s, key] for s in STRENGTHS], rate)
        sides = []
        for strength in STRENGTHS:
            sound = sounds[strength, key]
            start = measuring.onset(sound, rate) - round(BEFORE * rate)
            part = raised(_shifted(sound, start, step, turned), rate, *SHELF)
            sounds[strength, key] = part
            sides.append([measuring.level(part[:, [n, n]], rate, 1.0) for n in (0, 1)])
            row = _row(rows, strength, key)
            row |= {"start": start, "late": step, "turned": turned}
            cents[strength, key] = measuring.mistuning(part[rate // 10 : rate * 2], rate, key)
        balance = float(np.mean([left - right for left, right in sides]))
        for strength in STRENGTHS:
            row = _row(rows, strength, key)
            row |= {"left": -balance / 2, "right": balance / 2}
            gains = 10 ** (np.array([row["left"], row["right"]]) / 20)
            sounds[strength, key] *= gains
            levels[strength, key] = measuring.level(sounds[strength, key], rate, 0.6)
    keys = np.array(KEYS)
    mean = np.array([np.mean([levels[s, key] for s in (9, 13)]) for key in KEYS])
    curve = np.polynomial.Polynomial.fit(keys, mean, 2)
    tune = np.array([np.median([cents[s, key] for s in STRENGTHS]) for key in KEYS])
    stretch = np.polynomial.Polynomial.fit(keys, tune, 3)
    peaks = []
    for row in rows:
        key, strength = row["key"], row["strength"]
        gain = float(curve(key)) - levels[strength, key]
        row["left"] += gain
        row["right"] += gain
        peaks.append(20 * np.log10(np.abs(sounds[strength, key]).max()) + gain)
        row["cents"] = float(STRETCH * (stretch(key) - stretch(69)) - tune[key // 3 - 12])
    for row in rows:
        key = row["key"]
        for side in ("left", "right"):
            row[side] += PEAK - max(peaks)
        low, high = KEYS[0], KEYS[-1]
        row["keys"] = [0 if key == low else key - 1, 127 if key == high else key + 1]
        row["velocities"] = list(STRENGTHS[row.pop("strength")])
        row["seconds"] = float(np.interp(key, list(SECONDS), list(SECONDS.values())))
        row["shelf"] = SHELF
        row["rise"], row["fade"] = BEFORE, row["seconds"] * FADE
    out.write_text(_toml(packages, rows))


def _row(rows: list[dict[str, Any]], strength: int, key: int) -> dict[str, Any]:
    return next(row for row in rows if (row["strength"], row["key"]) == (strength, key))


def _shifted(sound: Frames, start: int, step: int, turned: bool) -> Frames:
    left = sound[start - min(step, 0) :, 0]
    right = sound[start + max(step, 0) :, 1] * (-1 if turned else 1)
    length = min(len(left), len(right))
    return np.stack([left[:length], right[:length]], axis=1)


def _in_step(sounds: list[Frames], rate: int) -> tuple[int, bool]:
    """Frames by which the right side is taken later, and whether it is turned upside down, for the
    sides to add to one another in mono; a short step and an upright side are worth more."""
    total = np.zeros(1)
    for sound in sounds:
        at = measuring.onset(sound, rate)
        part = signal.sosfilt(
            signal.butter(2, 60, "highpass", fs=rate, output="sos"), sound[at : at + rate], axis=0
        )
        left, right = part.T
        both = np.fft.irfft(np.conj(np.fft.rfft(left, 2 * rate)) * np.fft.rfft(right, 2 * rate))
        total = total + both / np.sqrt((left**2).sum() * (right**2).sum()) / len(sounds)
    steps = np.arange(-rate // 1250, rate // 1250 + 1)
    worth = total[steps] - 0.25 * np.abs(steps) / rate * 1000
    other = -total[steps] - 0.25 * np.abs(steps) / rate * 1000 - 0.15
    turned = bool(other.max() > worth.max())
    step = int(steps[np.argmax(other if turned else worth)])
    return step, turned


def _package(strength: int, folder: Path) -> dict[str, Any]:
    archive = f"audio-samples-piano-velocity{strength}-{VERSION}.tgz"
    fetch = ["npm", "pack", f"@audio-samples/piano-velocity{strength}@{VERSION}"]
    if not (folder / archive).exists():
        subprocess.run(fetch, cwd=folder, check=True)
    digest = hashlib.sha256((folder / archive).read_bytes()).hexdigest()
    return {"archive": archive, "fetch": fetch, "sha256": digest}


def _toml(packages: dict[int, dict[str, Any]], rows: list[dict[str, Any]]) -> str:
    lines = [HEAD]
    for strength, package in packages.items():
        lines.append(f'[packages."@audio-samples/piano-velocity{strength}"]')
        lines += [f"{name} = {_value(value)}" for name, value in package.items()] + [""]
    order = (
        "name",
        "key",
        "keys",
        "velocities",
        "package",
        "file",
        "start",
        "late",
        "turned",
        "seconds",
        "rise",
        "fade",
        "left",
        "right",
        "shelf",
        "cents",
    )
    for row in rows:
        lines.append("[[recording]]")
        lines += [f"{name} = {_value(row[name])}" for name in order if row[name] is not False] + [
            ""
        ]
    return "\n".join(lines)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f'"{value}"'
    if isinstance(value, list):
        return "[" + ", ".join(_value(part) for part in value) + "]"
    return str(round(value, 3))


HEAD = """\
# A grand piano in three strengths, every third key from C2 to C6: where each recording is, and how
# it is cut. Written by tests/bench/soundfont/piano_figures.py; what the names of the figures stand
# for is said in tests/bench/soundfont/recorded.py.

licence = "CC BY 3.0, https://creativecommons.org/licenses/by/3.0/"
credit = "Salamander Grand Piano V3 by Alexander Holm, CC BY 3.0 (cut, balanced and levelled)"
"""

if __name__ == "__main__":
    main()
