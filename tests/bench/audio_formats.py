"""Measure how long each format of audio takes to write, and how large it gets.

Run as ``python -m tests.bench.audio_formats [SECONDS]`` from the checkout. Writes that much music
(180) in each format, in blocks, to a temporary folder; prints the best time of three.
"""

from __future__ import annotations

import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.sound.files.format_material import CUES, EVERY, TAGS, Sound, music, written

RUNS = 3
FILES = 4


def timed(path: Path, format_: str, bits: int, sound: Sound) -> float:
    """Seconds for one file."""
    begun = time.perf_counter()
    written(path, format_, sound, 16_384, bits=bits, tags=TAGS, cues=CUES)
    return time.perf_counter() - begun


def main() -> None:
    """Print a line for each format, and one for several WAVs at once."""
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 180
    sound = music(round(seconds * 44_100))
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "x"
        for format_, bits in EVERY:
            best = min(timed(path, format_, bits, sound) for _ in range(RUNS))
            name = f"{format_} {bits}" if format_ in ("wav", "flac") else format_
            size = path.stat().st_size
            rate = size * 8 / seconds / 1e3
            print(f"{name:8} {best:6.3f} s {size / 1e6:7.1f} MB {rate:6.0f} kbit/s")
        paths = [Path(folder) / f"{number}" for number in range(FILES)]
        begun = time.perf_counter()
        with ThreadPoolExecutor(2) as pool:
            list(pool.map(lambda path: timed(path, "wav", 24, sound), paths))
        print(f"{FILES} x wav 24 in two threads: {time.perf_counter() - begun:.3f} s")


if __name__ == "__main__":
    main()
