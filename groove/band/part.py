"""What players hand on: parts of notes on the grid, before touch."""

from __future__ import annotations

from dataclasses import dataclass

from groove.band.patterns import Pattern

GHOST, STROKE, ACCENT = 0.3, 0.62, 0.8  # weights of the marks o, x and X


@dataclass(frozen=True, slots=True)
class GridNote:
    """A note on the grid: start and length in ticks, MIDI pitch, weight 0 to 1.

    row: the kit voice of a drum stroke. string and fret: where a guitar plays it, strings
    counted from the highest, as players do.
    """

    start: int
    length: int
    pitch: int
    weight: float
    row: str = ""
    string: int = 0
    fret: int = -1


@dataclass(frozen=True, slots=True)
class Part:
    """One player's notes in order of time, and the pattern they were played from.

    fills: stretches, (start, end) in ticks, in which the drummer fills.
    """

    name: str
    pattern: Pattern
    notes: tuple[GridNote, ...]
    fills: tuple[tuple[int, int], ...] = ()


def weight(mark: str, accent: bool) -> float:
    """The weight of a mark in box notation."""
    if accent:
        return ACCENT
    return GHOST if mark == "o" else STROKE
