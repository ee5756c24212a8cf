"""Measure how long the command line takes to answer.

Run as ``python -m tests.bench.command_line [RUNS]`` from the checkout. Prints the median wall times
of ``groove --help``, of ``groove make`` without audio for tracks of three and two and a half
minutes and of a chart as PDF, each as a multiple of ``python -c "import click"``, the least that a
command line built on click takes. They take turns, so that all meet the same machine, and all
find compiled modules, as an installed program does, in a cache of their own.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

NO_CACHE = "PYTHONDONTWRITEBYTECODE"
BARE = "python -c 'import click'"
GROOVE = str(Path(sys.executable).with_name("groove"))
TRACK = ("twelve-bar", "--tempo", "120", "--choruses", "7", "--count-in", "5")
"""Three minutes: 5 bars of count-in, 7 choruses of 12 and the bar of the ending, 2 s each."""


def seconds(command: list[str], folder: str) -> float:
    """The wall time of one run."""
    settings = {name: value for name, value in os.environ.items() if name != NO_CACHE}
    settings["PYTHONPYCACHEPREFIX"] = f"{folder}/cache"
    start = time.perf_counter()
    subprocess.run(command, cwd=folder, env=settings, check=True, capture_output=True)
    return time.perf_counter() - start


def main() -> None:
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    commands = {
        BARE: [sys.executable, "-c", "import click"],
        "groove --help": [GROOVE, "--help"],
        "groove make --choruses 7": [GROOVE, "make", "twelve-bar", "--choruses", "7"],
        "groove make, three minutes": [GROOVE, "make", *TRACK, "--audio", "none"],
        "groove chart -o chart.pdf": [GROOVE, "chart", TRACK[0], "-o", "chart.pdf"],
    }
    times: dict[str, list[float]] = {name: [] for name in commands}
    with tempfile.TemporaryDirectory() as folder:
        for number in range(runs + 1):
            for name, command in commands.items():
                took = seconds(command, folder)
                if number:  # the first round only warms the file cache
                    times[name].append(took)
    bare = statistics.median(times[BARE])
    for name, found in times.items():
        middle = statistics.median(found)
        sys.stdout.write(
            f"{name:26} {middle * 1000:6.0f} ms, {middle / bare:4.1f} times click alone "
            f"({min(found) * 1000:.0f} to {max(found) * 1000:.0f} ms in {runs} runs)\n"
        )


if __name__ == "__main__":
    main()
