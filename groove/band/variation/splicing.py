"""Derives cells of an ostinato by joining half bars of two written cells.

Every half bar is played as it is written, in its place: the rhythm stays the figure's own, and a
clave keeps its sides.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import product

from groove.rhythm.box_notation import Cell, Stroke
from groove.rhythm.patterns import CompingPattern, Pattern


def spliced(cell: Cell, pattern: Pattern) -> Iterator[Cell]:
    """The cells that are one in some half bars and another, as busy or nearly so, in the rest."""
    lines, beat = pattern.grid.lines, pattern.grid.lines_per_beat
    half = lines // 2 if lines // 2 % beat == 0 else lines
    others = [
        other
        for written in pattern.cells
        for other in ((written,) if written.lines == cell.lines else _bars(written, pattern))
        if other.lines == cell.lines and other != cell and abs(other.level - cell.level) <= 1
    ]
    others.sort(key=lambda other: abs(other.level - cell.level))
    seen = {_notes(written.strokes) for written in pattern.cells}
    masks = product((False, True), repeat=cell.lines // half)
    for mask in sorted(masks, key=lambda mask: (sum(mask), mask)):
        for other in others:
            strokes = _joined(cell, other, [number for number, it in enumerate(mask) if it], half)
            notes = _notes(strokes)
            if notes not in seen:
                seen.add(notes)
                yield replace(cell, strokes=strokes)


def _bars(cell: Cell, pattern: Pattern) -> Iterator[Cell]:
    """The bars of a cell of two, unless they are the two sides of a clave."""
    lines = pattern.grid.lines
    if isinstance(pattern, CompingPattern) and pattern.clave:
        return
    for first in range(0, cell.lines, lines):
        strokes = (
            replace(s, line=s.line - first, lines=min(s.lines, first + lines - s.line))
            for s in cell.strokes
            if first <= s.line < first + lines
        )
        yield replace(cell, lines=lines, strokes=tuple(strokes))


def _joined(cell: Cell, other: Cell, halves: Sequence[int], half: int) -> tuple[Stroke, ...]:
    """The strokes of one cell, and of another in some halves of bars; a long note that lasted up to
    the next one of its row still does."""
    found = [
        (stroke, own)
        for own in (cell, other)
        for stroke in own.strokes
        if (stroke.line // half in halves) == (own is other)
    ]
    strokes = []
    for stroke, own in found:
        end = stroke.line + stroke.lines
        after = min(
            (s.line for s, _ in found if s.row == stroke.row and s.line > stroke.line),
            default=cell.lines,
        )
        goes_on = stroke.lines > 1 and end == _next(stroke, own)
        strokes.append(replace(stroke, lines=(after if goes_on else min(end, after)) - stroke.line))
    return tuple(sorted(strokes, key=lambda stroke: (stroke.line, stroke.row)))


def _next(stroke: Stroke, cell: Cell) -> int:
    """The line of the next stroke of a row in a cell, or its end."""
    later = (s.line for s in cell.strokes if s.row == stroke.row and s.line > stroke.line)
    return min(later, default=cell.lines)


def _notes(strokes: tuple[Stroke, ...]) -> frozenset[tuple[int, str, str, int]]:
    return frozenset((s.line, s.row, s.mark, s.octave) for s in strokes)
