"""Times how long the synthesiser takes to load what a band plays, with one font and another.

Run as ``python -m tests.bench.soundfont.load_time FONT [FONT ...]``: processor seconds, the median
of RUNS processes each, for the sounds of BAND, and for each of them alone.
"""

from __future__ import annotations

import statistics
import subprocess
import sys

BAND = ((128, 0), (0, 33), (0, 27), (0, 0))
"""Bank and program of a shuffle band: drums, bass, guitar, piano."""
RUNS = 7
_CHILD = """
import os, sys
from pathlib import Path
from tests.bench.soundfont.playing import Player
player = None
before = os.times()
for place in sys.argv[2:]:
    bank, program = map(int, place.split(":"))
    player = player or Player(Path(sys.argv[1]))
    player.choose(bank, program)
after = os.times()
print(after.user + after.system - before.user - before.system)
"""


def seconds(font: str, places: tuple[tuple[int, int], ...]) -> float:
    """Processor seconds to load a font and some of its sounds in a process of their own."""
    words = [f"{bank}:{program}" for bank, program in places]
    command = [sys.executable, "-c", _CHILD, font, *words]
    runs = [
        float(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
        for _ in range(RUNS)
    ]
    return statistics.median(runs)


def main() -> None:
    for font in sys.argv[1:]:
        alone = " ".join(
            f"{bank}:{program} {seconds(font, ((bank, program),)):.3f}" for bank, program in BAND
        )
        print(f"{font}: {seconds(font, BAND):.3f} s; alone {alone}")


if __name__ == "__main__":
    main()
