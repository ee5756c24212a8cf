"""Prints figures of the band's music for all patterns, one line each, worst first.

Run as ``python -m tests.bench.band CHAPTER [NAME ...]`` from the checkout; CHAPTER is a name in
CHAPTERS below or ``all``, NAME the name of a pattern. ``--seeds 5``: how many takes of each.
``--intensity 2``: an even level in place of the usual rise. A star marks a figure outside its
limits; asserts nothing.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Sequence
from typing import Any

from tests.bench.band import arc, bass, comping, drums, endings, fills, guitar, pushes
from tests.bench.band.performance import SEEDS
from tests.bench.band.table import Row, printed

Chapter = Callable[[Sequence[str], int, dict[str, Any]], list[Row]]

CHAPTERS: dict[str, Chapter] = {
    "fills": fills.rows,
    "pushes": pushes.rows,
    "arc": arc.rows,
    "rhythms": arc.rhythm_rows,
    "endings": endings.rows,
    "comping": comping.rows,
    "guitar": guitar.rows,
    "bass": bass.rows,
    "drums": drums.rows,
}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("chapter", choices=[*CHAPTERS, "all"])
    parser.add_argument("names", nargs="*")
    parser.add_argument("--seeds", type=int, default=SEEDS)
    parser.add_argument("--intensity", default="")
    asked = parser.parse_intermixed_args()
    fields = {"intensity": asked.intensity} if asked.intensity else {}
    for name in CHAPTERS if asked.chapter == "all" else [asked.chapter]:
        rows = CHAPTERS[name](asked.names, asked.seeds, fields)
        print(printed(rows, name), flush=True)


if __name__ == "__main__":
    main()
