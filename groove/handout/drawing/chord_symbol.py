"""A chord symbol as marks on a page, and how wide it is."""

from __future__ import annotations

from functools import lru_cache

from groove.handout.drawing.page import POINT, Text, text_width
from groove.theory.symbols import Symbol

BESIDE, ABOVE, BASS = 0.74, 0.66, 0.8  # sizes of the triad's word, the figures and the bass
RISE = 0.30  # ems that the figures stand above the line
GAP = 0.04  # ems between the parts


def chord_marks(shown: Symbol, x: float, y: float, size: float) -> tuple[Text, ...]:
    """The symbol with its left edge at x and its baseline at y; size in points."""
    marks = []
    for text, share, rise in _parts(shown):
        marks.append(Text(x, y - rise * size * POINT, text, size * share, "bold"))
        x += text_width(text, size * share, "bold") + GAP * size * POINT
    return tuple(marks)


@lru_cache(maxsize=4096)
def chord_width(shown: Symbol, size: float) -> float:
    """The width of the symbol in mm; size in points."""
    return sum(
        text_width(text, size * share, "bold") + GAP * size * POINT
        for text, share, _ in _parts(shown)
    )


def _parts(shown: Symbol) -> list[tuple[str, float, float]]:
    """Text, share of the size and rise in ems of each part that is there."""
    bass = f"/{shown.bass}" if shown.bass else ""
    parts = [
        (shown.root, 1.0, 0.0),
        (shown.triad, BESIDE, 0.0),
        (shown.figures, ABOVE, RISE),
        (bass, BASS, 0.0),
    ]
    return [part for part in parts if part[0]]
