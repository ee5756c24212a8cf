"""Cells compared and changed: strokes left out, moved or added, notes held up to the next."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from groove.rhythm.box_notation import Cell, Stroke

NEAR = 0.75  # of the onsets of a bar

Onsets = frozenset[int]


def near_written(onsets: Onsets, written: Onsets) -> bool:
    """True if two bars have three quarters of their onsets in common, or all but one.

    >>> near_written(frozenset({0, 4, 6}), frozenset({0, 3, 6}))
    True
    """
    most, common = max(len(onsets), len(written)), len(onsets & written)
    return most - common <= 1 or common >= NEAR * most


def bars_of(cell: Cell, lines: int) -> list[Onsets]:
    """The onsets of each bar of a cell, lines counted from the start of the bar."""
    return [
        frozenset(s.line - first for s in cell.strokes if first <= s.line < first + lines)
        for first in range(0, cell.lines, lines)
    ]


def joins(cell: Cell) -> bool:
    """True if each stroke lasts up to the next, or as long as another stroke does."""
    return joined(cell) == cell


def joined(cell: Cell) -> Cell:
    """The cell with each stroke that would end before the next one held up to it."""
    onsets = [*onsets_of(cell), cell.lines]
    until = dict(pairwise(onsets))
    strokes = tuple(
        replace(stroke, lines=max(stroke.lines, until[stroke.line] - stroke.line))
        for stroke in cell.strokes
    )
    return replace(cell, strokes=strokes)


def onsets_of(cell: Cell) -> list[int]:
    return sorted({stroke.line for stroke in cell.strokes})


def thinned(cell: Cell, line: int) -> Cell:
    """The cell without its strokes on a line; what sounded up to it goes on."""
    gone = [stroke for stroke in cell.strokes if stroke.line == line]
    longer = max(stroke.lines for stroke in gone)
    kept = [stroke for stroke in cell.strokes if stroke.line != line]
    after = min((stroke.line for stroke in kept if stroke.line > line), default=cell.lines)
    until = min(line + longer, after)
    strokes = tuple(
        replace(stroke, lines=until - stroke.line)
        if stroke.line + stroke.lines == line and stroke.lines > 1
        else stroke
        for stroke in kept
    )
    return replace(cell, strokes=strokes)


def displaced(cell: Cell, line: int, to: int) -> Cell:
    """The cell with its strokes on a line moved to a free one; long ones end where they ended."""
    moved = []
    for stroke in cell.strokes:
        end = stroke.line + stroke.lines
        if stroke.line == line:
            until = max(end, to + 1) if stroke.lines > 1 else to + 1
            moved.append(replace(stroke, line=to, lines=until - to))
        elif stroke.line < to < end or (end == line < to and stroke.lines > 1):
            moved.append(replace(stroke, lines=to - stroke.line))
        else:
            moved.append(stroke)
    return replace(cell, strokes=_ordered(moved))


def with_strokes(cell: Cell, added: list[Stroke]) -> Cell:
    """The cell with more strokes on a free line; what rings there stops, and the new strokes
    take over the time that was left to it."""
    to = added[0].line
    strokes = []
    left = 1
    for stroke in cell.strokes:
        if stroke.line < to < stroke.line + stroke.lines:
            left = max(left, stroke.line + stroke.lines - to)
            stroke = replace(stroke, lines=to - stroke.line)
        strokes.append(stroke)
    ring = [replace(stroke, lines=left) for stroke in added]
    return replace(cell, strokes=_ordered([*strokes, *ring]))


def short(stroke: Stroke, line: int, row: str, mark: str) -> Stroke:
    return replace(stroke, line=line, lines=1, row=row, mark=mark, accent=False, slide=False)


def _ordered(strokes: list[Stroke]) -> tuple[Stroke, ...]:
    return tuple(sorted(strokes, key=lambda stroke: (stroke.line, stroke.row)))
