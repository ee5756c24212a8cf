"""Measure the time from form to MIDI bytes in a running process, and the cost per bar.

Run as ``python -m tests.bench.compile_form`` from the checkout.
Asserts nothing; prints the time of a three-minute track (median of 9 runs, and the first) and,
for tracks of 100 to 10,000 bars, microseconds per bar and the ratio to the shortest.
"""

from __future__ import annotations

import io
import time
from dataclasses import replace
from pathlib import Path
from statistics import median

import groove
from groove.form.model import Form
from groove.sound.midi import midi_file

THREE_MINUTES = {
    "twelve-bar": 7,
    "rhythm-changes": 4,
    "jazz-twelve-bar": 10,
    "i-v-vi-iv": 11,
}
BARS = (100, 1_000, 10_000)
CHORDS = ("I7:4 IV7:2 I7:4", "I7 ~IV7 NC ~V7 I7*")  # plain, then with marks


def seconds(form: Form) -> float:
    start = time.perf_counter()
    midi_file(groove.compile_take(form)).save(file=io.BytesIO())
    return time.perf_counter() - start


def main() -> None:
    for name, choruses in THREE_MINUTES.items():
        form = groove.read_form(name, choruses=choruses)
        first, *again = [seconds(form) for _ in range(9)]
        print(f"{groove.summary(form)}: first {first:.3f} s, then {median(again):.3f} s")
    for path in sorted(Path("tests/arrangements").glob("*.toml")):
        form = groove.read_form(path)
        first, *again = [seconds(form) for _ in range(9)]
        print(f"{path.stem}: first {first:.3f} s, then {median(again):.3f} s")
    for chords in CHORDS:
        form = groove.read_form("twelve-bar", chords=chords, drums="medium-swing")
        costs = []
        for bars in BARS:  # beyond the limits of a form file, to see the growth
            long = replace(form, choruses=bars // form.bars)
            costs.append(median(seconds(long) for _ in range(3)) / bars)
            print(f"{bars:6} bars: {costs[-1] * 1e6:.0f} us a bar, {costs[-1] / costs[0]:.2f} x")


if __name__ == "__main__":
    main()
