"""Patterns in another metre than the one they are written in: regrouped, cut or filled.

Where every group of beats of the new metre is as long as one of the old, groups change places:
2+2+3 becomes 3+2+2. Else the bar goes on from its start or stops short, as players do with one
odd bar (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise
from typing import TypeVar

from groove.rhythm.box_notation import Cell, Grid, Stroke
from groove.rhythm.meter import Meter
from groove.rhythm.patterns import DrumPattern, Pattern

_AnyPattern = TypeVar("_AnyPattern", bound=Pattern)
_Piece = tuple[int, int]  # from and up to which line of the old bar


@lru_cache(maxsize=256)
def in_meter(pattern: _AnyPattern, meter: Meter) -> _AnyPattern:
    """The pattern as it is played in a metre; itself where it is written in that one."""
    old = pattern.grid
    if old.meter == meter:
        return pattern
    grid = Grid(meter, meter.bar_ticks // old.line_ticks, old.feel)
    pieces = tuple(_pieces(old, grid))
    changed = replace(
        pattern, grid=grid, cells=tuple(_cell(cell, old, grid, pieces) for cell in pattern.cells)
    )
    if not isinstance(pattern, DrumPattern) or not isinstance(changed, DrumPattern):
        return changed
    return replace(
        changed,
        fills=tuple(fill for fill in pattern.fills if fill.lines <= grid.lines),
        ending=_cell(pattern.ending, old, grid, pieces),
    )


def _pieces(old: Grid, new: Grid) -> Iterator[_Piece]:
    """The pieces of the old bar that make up a new one, in order."""
    have, want = _groups(old), _groups(new)
    lengths = [end - start for start, end in have]
    if all(end - start in lengths for start, end in want):
        unused = list(have)
        for start, end in want:
            fitting = [group for group in unused or have if group[1] - group[0] == end - start]
            fitting = fitting or [group for group in have if group[1] - group[0] == end - start]
            yield fitting[0]
            if fitting[0] in unused:
                unused.remove(fitting[0])
        return
    left = new.lines
    while left > 0:
        yield 0, min(left, old.lines)
        left -= old.lines


def _groups(grid: Grid) -> list[_Piece]:
    """The groups of a bar, by the lines where they begin and end."""
    starts = (*grid.meter.group_starts, grid.meter.bar_ticks)
    return [(here // grid.line_ticks, there // grid.line_ticks) for here, there in pairwise(starts)]


def _cell(cell: Cell, old: Grid, new: Grid, pieces: tuple[_Piece, ...]) -> Cell:
    strokes: list[Stroke] = []
    bars = cell.lines // old.lines
    for bar in range(bars):
        first, at = bar * old.lines, bar * new.lines
        played = [
            replace(stroke, line=stroke.line - first)
            for stroke in cell.strokes
            if first <= stroke.line < first + old.lines
        ]
        strokes += (replace(stroke, line=stroke.line + at) for stroke in _bar(played, pieces))
    return Cell(cell.level, bars * new.lines, tuple(strokes), cell.held, cell.adds)


def _bar(played: list[Stroke], pieces: tuple[_Piece, ...]) -> list[Stroke]:
    """One bar put together from pieces; it begins as the old one did."""
    strokes: list[Stroke] = []
    at = 0
    for start, end in pieces:
        for stroke in played:
            if start <= stroke.line < end:
                lines = min(stroke.lines, end - stroke.line)
                strokes.append(replace(stroke, line=at + stroke.line - start, lines=lines))
        at += end - start
    begun = {stroke.row for stroke in strokes if stroke.line == 0}
    second = min((stroke.line for stroke in strokes if stroke.line), default=at)
    strokes += (
        replace(stroke, lines=min(stroke.lines, second))
        for stroke in played
        if stroke.line == 0 and stroke.row not in begun
    )
    return sorted(strokes, key=lambda stroke: (stroke.line, stroke.row))
