"""Compare the time of `groove make` with that of the synthesiser's own command.

Run as ``python -m tests.bench.faster_than_command [OPTIONS] [CHECKOUT ...]`` from a checkout. For
each drum pattern the whole command, from the form to three stems and the mastered mix in WAV files,
takes turns with ``fluidsynth -ni -r 44100 -F out.wav SOUNDFONT track.mid`` on the MIDI file of the
same form, which writes one 16-bit WAV file of the mix. Each run is a fresh process. CHECKOUT: the
folders of checkouts that this Python can run, each in its turn; this one if left out. Prints for
each of them and each pattern the medians of the ratios, ours to the command's, of wall time and of
processor time, and at the end the medians of the patterns. The program's modules are compiled to
bytecode, as those of an installed package are, by a first round that does not count.
"""

from __future__ import annotations

import argparse
import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

PATTERNS = ("shuffle", "eighths-rock", "medium-swing", "rumba")
FORM = ("twelve-bar", "--tempo", "120", "--choruses", "8")
"""192 seconds and the count-in."""


def seconds(command: list[str], folder: str, checkout: str = ".") -> tuple[float, float]:
    """Wall time and processor time of one run. folder: where bytecode is kept."""
    environment = {**os.environ, "PYTHONPATH": str(Path(checkout).resolve())}
    environment["PYTHONPYCACHEPREFIX"] = folder
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True, env=environment)
    wall = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def compare(pattern: str, options: argparse.Namespace) -> dict[str, tuple[float, float]]:
    """The medians of the ratios of wall times and processor times, by checkout."""
    groove = [sys.executable, "-m", "groove", "make", *FORM, "--drums", pattern]
    font = str(options.soundfont)
    with tempfile.TemporaryDirectory() as folder:
        seconds([*groove, "-o", folder], folder, options.checkouts[0])
        (track,) = map(str, Path(folder).glob("*.mid"))
        theirs = ["fluidsynth", "-ni", "-r", "44100", "-F", f"{folder}/out.wav", font, track]
        ours = [*groove, "--audio", "wav", "--stems", "--bits", options.bits]
        ours += ["--soundfont", font, "-o", folder]
        found: dict[str, list[tuple[float, float]]] = {each: [] for each in options.checkouts}
        for number in range(options.rounds + 1):
            command = seconds(theirs, folder)
            for checkout in options.checkouts:
                took = seconds(ours, folder, checkout)
                if number:  # the first round only fills the file cache
                    found[checkout].append((took[0] / command[0], took[1] / command[1]))
            if number:
                found.setdefault("", []).append(command)
    print(f"{pattern}: the command takes {statistics.median(w for w, _ in found.pop('')):.2f} s")
    medians = {}
    for checkout, ratios in found.items():
        wall, processor = (statistics.median(column) for column in zip(*ratios, strict=True))
        low, high = min(ratios)[0], max(ratios)[0]
        print(f"    {checkout}: {wall:.2f} ({low:.2f} to {high:.2f}), processor {processor:.2f}")
        medians[checkout] = wall, processor
    return medians


def main() -> None:
    parser = argparse.ArgumentParser(description=str(__doc__).partition("\n")[0])
    parser.add_argument("checkouts", nargs="*", default=["."], metavar="CHECKOUT")
    parser.add_argument("--rounds", type=int, default=7)
    parser.add_argument("--soundfont", type=Path, required=True)
    parser.add_argument("--bits", choices=["16", "24"], default="16")
    parser.add_argument("--patterns", type=lambda names: names.split(","), default=PATTERNS)
    options = parser.parse_args()
    found = [compare(pattern, options) for pattern in options.patterns]
    for checkout in options.checkouts:
        wall, processor = (
            statistics.median(medians[checkout][which] for medians in found) for which in (0, 1)
        )
        print(f"{checkout}: median of the patterns {wall:.2f}, processor {processor:.2f}")


if __name__ == "__main__":
    main()
