"""Prints figures of the sound of two checkouts side by side, a star beside each that is missed.

Run as ``python -m tests.bench.sound [WHAT ...] --old OLD --new .`` from a checkout; WHAT is a name
in CHAPTERS below, all of them if left out. ``--font-old``, ``--font-new``: soundfonts in place of
what each plays by itself. ``--only NAME ...``: of the drum patterns, for limiters.
``--pictures FOLDER``: draw ten styles of both. ``--keep FOLDER``: keep the sound there, and take
what is there already. Without ``--old`` it measures the new one alone.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from tests.bench.sound import (
    balance,
    keys,
    limiters,
    loudness,
    pictures,
    repeated,
    room,
    strokes,
    tone,
)
from tests.bench.sound.checkout import Checkout
from tests.bench.sound.table import Figure, printed

CHAPTERS: dict[str, Callable[[Checkout], list[Figure]]] = {
    "tone": tone.figures,
    "strokes": strokes.figures,
    "repeated": repeated.figures,
    "keys": keys.figures,
    "room": room.figures,
    "balance": balance.figures,
    "loudness": loudness.figures,
    "limiters": limiters.figures,
}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("what", nargs="*", choices=[*CHAPTERS, []])
    parser.add_argument("--old", type=Path)
    parser.add_argument("--new", type=Path)
    parser.add_argument("--font-old", type=Path)
    parser.add_argument("--font-new", type=Path)
    parser.add_argument("--only", nargs="*", default=[])
    parser.add_argument("--pictures", type=Path)
    parser.add_argument("--keep", type=Path)
    asked = parser.parse_intermixed_args()
    with tempfile.TemporaryDirectory() as temporary:
        folder = asked.keep or Path(temporary)
        columns = [
            (name, Checkout(path, font, folder / name))
            for name, path, font in (
                ("old", asked.old, asked.font_old),
                ("new", asked.new, asked.font_new),
            )
            if path
        ]
        for chapter in asked.what or ([] if asked.pictures else CHAPTERS):
            begun = time.perf_counter()
            found = []
            for name, checkout in columns:
                if chapter == "limiters":
                    print(f"{name}:")
                    found.append((name, limiters.figures(checkout, asked.only)))
                else:
                    found.append((name, CHAPTERS[chapter](checkout)))
            print(printed(chapter, found), flush=True)
            print(f"({time.perf_counter() - begun:.0f} s)\n", flush=True)
        if asked.pictures:
            for path in pictures.draw(columns, asked.pictures):
                print(path)


if __name__ == "__main__":
    main()
