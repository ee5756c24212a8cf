"""Compare the time of our stems and mix with that of the synthesiser's own command.

Run as ``python -m tests.bench.faster_than_command [PAIRS] [SOUNDFONT] [MINUTES]`` from the
checkout. On the same MIDI file and soundfont the two take turns, each in a fresh process, so that
both meet the same machine: ``fluidsynth -ni -r 44100 -F out.wav SOUNDFONT track.mid`` writes one
16-bit WAV file; ours, four 24-bit ones: three stems and the mastered mix. Prints the median of the
ratios of wall times, ours to theirs, and that of the processor times.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import groove
from groove.sound.synth.soundfonts import find_fonts

TEMPO = 112
CHORUS_SECONDS = 12 * 4 * 60 / TEMPO


def seconds(command: list[str]) -> tuple[float, float]:
    """Wall time and processor time of one run."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    pairs = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    given = Path(sys.argv[2]) if len(sys.argv) > 2 else None
    minutes = float(sys.argv[3]) if len(sys.argv) > 3 else 3.0
    fonts = find_fonts(given, os.environ)
    with tempfile.TemporaryDirectory() as folder:
        form = groove.read_form(
            "twelve-bar",
            tempo=TEMPO,
            drums="rumba",
            choruses=round(minutes * 60 / CHORUS_SECONDS),
            count_in=0,
        )
        (track,) = groove.make(form, folder)
        theirs = ["fluidsynth", "-ni", "-r", "44100", "-F", f"{folder}/out.wav"]
        theirs += [str(fonts.main.path), str(track)]
        ours = [sys.executable, "-m", "tests.bench.render_midi"]
        ours += [str(track), str(fonts.main.path), folder]
        found = []
        for number in range(pairs + 1):
            pair = [seconds(command) for command in (theirs, ours)]
            if number:  # the first round only warms the file cache
                found.append(pair)
    for which, name in enumerate(("wall time", "processor time")):
        command, groove_ = (statistics.median(pair[who][which] for pair in found) for who in (0, 1))
        ratios = [pair[1][which] / pair[0][which] for pair in found]
        sys.stdout.write(
            f"{name}: ours to the command's {statistics.median(ratios):.2f} "
            f"({min(ratios):.2f} to {max(ratios):.2f} in {pairs} pairs); "
            f"medians {groove_:.2f} s and {command:.2f} s\n"
        )


if __name__ == "__main__":
    main()
