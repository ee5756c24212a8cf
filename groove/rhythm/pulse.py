"""Patterns at half or double rate, for a half-time or double-time feel: bars go by as before."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from typing import TypeVar

from groove.rhythm.box_notation import Cell, Stroke
from groove.rhythm.patterns import DrumPattern, Pattern

HALF, DOUBLE = "half", "double"

_AnyPattern = TypeVar("_AnyPattern", bound=Pattern)


@lru_cache(maxsize=256)
def paced(pattern: _AnyPattern, pulse: str) -> _AnyPattern:
    """The pattern at a pulse, ``half`` or ``double``; itself where that is empty.

    At half rate a bar of a cell fills two, at double rate two fill one. Raises ValueError where a
    bar can't be halved.
    """
    if not pulse:
        return pattern
    grid = pattern.grid
    if pulse == HALF:
        if grid.meter.beats % 2:
            raise ValueError(f"a bar of {grid.meter} has no two halves; leave pulse out")
        cells = tuple(half for cell in pattern.cells for half in _halved(cell, grid.lines))
        grid = replace(grid, rate=Fraction(1, 2))
    else:
        grid = replace(grid, lines=2 * grid.lines, rate=Fraction(2))
        cells = tuple(_doubled(cell, pattern.grid.lines) for cell in pattern.cells)
    changed = replace(pattern, grid=grid, cells=cells)
    if not isinstance(pattern, DrumPattern) or not isinstance(changed, DrumPattern):
        return changed
    factor = 1 if pulse == HALF else 2  # fills, ending: as fast as they are written
    return replace(
        changed,
        fills=tuple(_spread(fill, factor) for fill in pattern.fills),
        ending=_spread(pattern.ending, factor),
        pickup=_spread(pattern.pickup, factor),
    )


def _halved(cell: Cell, bar: int) -> list[Cell]:
    """The two-bar cells that the bars of a cell become at half rate."""
    found = []
    for first in range(0, cell.lines, bar):
        strokes = tuple(
            replace(s, line=2 * (s.line - first), lines=2 * s.lines)
            for s in cell.strokes
            if first <= s.line < first + bar
        )
        found.append(Cell(cell.level, 2 * bar, strokes, cell.held and first == 0))
    return found


def _doubled(cell: Cell, bar: int) -> Cell:
    """The one-bar cell that a cell becomes at double rate: played twice if it has one bar."""
    strokes = list(cell.strokes)
    if cell.lines == bar:
        strokes += [replace(s, line=s.line + bar) for s in cell.strokes]
    return Cell(cell.level, 2 * bar, tuple(strokes), cell.held, cell.adds)


def _spread(cell: Cell, factor: int) -> Cell:
    """The cell on a grid of so many times the lines, as fast as before."""
    strokes: tuple[Stroke, ...] = tuple(
        replace(s, line=factor * s.line, lines=factor * s.lines) for s in cell.strokes
    )
    return Cell(cell.level, factor * cell.lines, strokes, cell.held, cell.adds)
