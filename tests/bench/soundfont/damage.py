"""Damages the package's soundfont in many ways: each copy is refused in one line, or plays.

Run as ``python -m tests.bench.soundfont.damage FONT COUNT FOLDER``: COUNT copies are written to
FOLDER one after another, each damaged by its number. Prints how many were refused, how many played,
and those that did anything else; a process that falls has met one that does worse.
"""

from __future__ import annotations

import sys
from pathlib import Path
from random import Random

from groove.errors import GrooveError
from groove.sound.synth.engine import Engine
from groove.sound.synth.soundfont_file import presets
from groove.sound.synth.soundfonts import Soundfont, soundfont

STROKES = ((9, 0, (36, 38, 42)), (0, 33, (31, 40)), (1, 27, (48, 60, 76)))
"""Channel, program, keys: what is played of a copy that is not refused."""

SILENT_FRAMES, GRAIN = 4096, 64


def damaged(whole: bytes, number: int) -> bytes:
    """A copy cut off, with bytes changed, or with a stretch taken out, put in or turned to zeros.

    Half of the damage is in the records, which are a small part of the file.
    """
    rng = Random(number)
    records = whole.rfind(b"LIST")
    copy = bytearray(whole)
    at = rng.randrange(records, len(copy)) if rng.random() < 0.5 else rng.randrange(len(copy))
    size = rng.choice((1, 2, 4, 40, 4000))
    match rng.randrange(6):
        case 0:
            del copy[at:]
        case 1:
            copy[at : at + size] = bytes(len(copy[at : at + size]))
        case 2:
            copy[at : at + size] = rng.randbytes(len(copy[at : at + size]))
        case 3:
            del copy[at : at + size]
        case 4:
            copy[at:at] = rng.randbytes(size)
        case _:
            copy[at] ^= 1 << rng.randrange(8)
    return bytes(copy)


def play(font: Soundfont) -> None:
    """Play some notes of a font. Raises GrooveError where it is damaged."""
    import numpy as np

    with Engine(font) as engine:
        for channel, program, keys in STROKES:
            engine.choose(channel, program)
            for key in keys:
                engine.native.fluid_synth_noteon(engine.synth, channel, key, 100)
        block = np.empty((SILENT_FRAMES, 2), np.float32)
        engine.write(block.ctypes.data, SILENT_FRAMES)
        engine.require_sound()


def main() -> None:
    source, count, folder = Path(sys.argv[1]), int(sys.argv[2]), Path(sys.argv[3])
    whole = source.read_bytes()
    path = folder / "damaged.sf3"
    refused = played = 0
    for number in range(count):
        path.write_bytes(damaged(whole, number))
        try:
            font = soundfont(path)
            presets(path)
            play(font)
        except GrooveError as error:
            if "\n" in str(error):
                print(f"{number}: more than one line: {error}")
            refused += 1
        else:
            played += 1
    print(f"{refused + played} of {count}: {refused} refused, {played} played")


if __name__ == "__main__":
    main()
