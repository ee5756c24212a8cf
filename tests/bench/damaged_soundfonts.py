"""Counts what becomes of damaged copies of a soundfont: sound, an error in one line, or a crash.

Run as ``python -m tests.bench.damaged_soundfonts [SOUNDFONT] [COPIES]`` from the checkout; by
default with the package's own and 200 copies. A copy has 1 to 300 bytes changed, by turns in its
records and in its samples, or is cut off. Each is played by the whole chain in a process that may
die of it.
"""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from groove.errors import GrooveError
from groove.sound.synth.soundfonts import PACKAGED, find_fonts

HITS = (1, 3, 30, 300)
PLAY = "import sys; from tests.bench.damaged_soundfonts import play; play(*sys.argv[1:])"


def damaged(whole: bytes, seed: int) -> bytes:
    """A copy with some bytes changed, or cut off, by a seed."""
    dice = random.Random(seed)
    kind, number = seed % 5, HITS[seed // 5 % len(HITS)]
    if kind == 4:
        return whole[: dice.randrange(len(whole))]
    records = whole.rfind(b"pdta")
    first, end = (records, len(whole)) if kind % 2 else (0, records)
    copy = bytearray(whole)
    for _ in range(number):
        copy[dice.randrange(first, end)] = dice.randrange(256)
    return bytes(copy)


def play(source: str, first: str, count: str) -> None:
    """Play copies one after another; a line for each when it begins and when it ends."""
    from tests.sound.sound_material import midi_of, render_to

    whole = Path(source).read_bytes()
    kit = [(beat / 2, 0.2, key, 90) for beat, key in enumerate((36, 42, 38, 49))]
    midi = midi_of({9: kit, 0: [(0, 1, 40, 90)], 1: [(0, 1, 60, 90)]}, {0: 33, 1: 0})
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(int(first), int(count)):
            print(seed, flush=True)
            path = Path(folder) / "hit.sf2"
            path.write_bytes(damaged(whole, seed))
            try:
                render_to(Path(folder) / "x.wav", midi, find_fonts(path, {}, []))
            except GrooveError as error:
                print("error" if str(error).count("\n") == 0 else "lines", flush=True)
            else:
                print("sound", flush=True)


def outcomes(source: str, copies: int) -> Iterator[str]:
    """The outcome for each copy: sound, error, lines (an error of several) or crash."""
    first = 0
    while first < copies:
        command = [sys.executable, "-c", PLAY, source, str(first), str(copies)]
        done = subprocess.run(command, capture_output=True, text=True)
        said = done.stdout.split()
        begun = [int(word) for word in said if word.isdigit()]
        yield from (word for word in said if not word.isdigit())
        if not done.returncode:
            return
        print(f"copy {begun[-1] if begun else first}: {done.stderr.strip()[-300:]}")
        yield "crash"
        first = (begun[-1] if begun else first) + 1


def main() -> None:
    source = sys.argv[1] if len(sys.argv) > 1 else str(PACKAGED)
    copies = int(sys.argv[2]) if len(sys.argv) > 2 else 200
    print(source, dict(Counter(outcomes(source, copies))))


if __name__ == "__main__":
    main()
