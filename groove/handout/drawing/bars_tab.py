"""A tablature in bars with chord symbols over them, on some strings next to each other.

Bars are as wide as their notes and symbols ask, stretched to fill the line; as many stand on a
line as fit, every line with about the same number.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from groove.handout.drawing.chord_symbol import chord_marks, chord_width
from groove.handout.drawing.fretboard import CAP, ascent_of
from groove.handout.drawing.page import MEDIUM, POINT, THIN, Line, Mark, Rect, Text, text_width
from groove.instrument.fretboard import Place, Tuning
from groove.theory.symbols import Symbol, noted

SIZE, MARK_SIZE, SYMBOL_SIZE = 10.0, 9.0, 14.0  # points
GAP, COLUMN, EDGE, APART = 3.4, 6.2, 0.9, 1.2  # mm: string to string, note to note, at a bar line
SYMBOLS, MARKS, NAMES = 6.2, 4.6, 1.5  # mm: over the strings, under them, after their names


@dataclass(frozen=True, slots=True)
class TabColumn:
    """Notes at one time. symbol: of a chord that begins there. mark: the word below."""

    places: tuple[Place, ...]
    symbol: Symbol | None
    mark: str = ""


TabBar = Sequence[TabColumn]


def lines_of_bars(
    tuning: Tuning, strings: Sequence[int], bars: Sequence[TabBar], width: float
) -> list[list[TabBar]]:
    """The bars of each line of a width in mm."""
    room = width - _names(tuning, strings)
    for count in range(1, len(bars) + 1):
        each = ceil(len(bars) / count)
        each += -each % 4 if each > 4 and ceil(len(bars) / (each + -each % 4)) == count else 0
        lines = [list(bars[at : at + each]) for at in range(0, len(bars), each)]
        if all(sum(map(_needed, line)) <= room for line in lines):
            return lines
    return [[bar] for bar in bars]


def bars_width(tuning: Tuning, strings: Sequence[int], line: Sequence[TabBar]) -> float:
    """The least width of a line in mm."""
    return _names(tuning, strings) + sum(map(_needed, line))


def bars_height(strings: Sequence[int]) -> float:
    """The height of a line in mm."""
    return SYMBOLS + (len(strings) - 1) * GAP + MARKS


def draw_bars(
    tuning: Tuning, strings: Sequence[int], line: Sequence[TabBar], *, x: float, y: float,
    width: float, most: int,
) -> tuple[Mark, ...]:  # fmt: skip
    """The marks of a line whose top left corner is (x, y), in mm.

    strings: those drawn, string 1 first. most: bars on the longest line; a shorter one leaves room.
    """
    left = x + _names(tuning, strings)
    needed = [_needed(bar) for bar in line]
    room = (width - (left - x)) * min(len(line) / most, 1.0)
    more = max(room - sum(needed), 0.0) / len(line)
    top = y + SYMBOLS
    foot = top + (len(strings) - 1) * GAP
    right = left + sum(needed) + more * len(line)
    half = CAP * SIZE * POINT
    marks: list[Mark] = [Line(left, top, left, foot, MEDIUM)]
    for number, string in enumerate(strings):
        level = top + number * GAP
        marks.append(Line(left, level, right, level, THIN))
        name = noted(tuning.names[-string])
        base = level + CAP * MARK_SIZE * POINT
        marks.append(Text(left - NAMES, base, name, MARK_SIZE, anchor="end"))
    at = left
    for bar, wide in zip(line, needed, strict=True):
        each = (wide + more - 2 * EDGE) / len(bar)
        for number, column in enumerate(bar):
            start = at + EDGE + number * each
            middle = start + min(each, COLUMN + APART) / 2
            if column.symbol:
                base = y + ascent_of(SYMBOL_SIZE) + 0.4
                marks += chord_marks(column.symbol, start, base, SYMBOL_SIZE)
            for place in column.places:
                level = top + strings.index(place.string) * GAP
                fret = str(place.fret)
                room = text_width(fret, SIZE, "bold") + 0.8
                marks.append(Rect(middle - room / 2, level - half, room, 2 * half, 0.0, 0.0))
                marks.append(Text(middle, level + half, fret, SIZE, "bold", "middle"))
            if column.mark:
                base = foot + 1.8 + ascent_of(MARK_SIZE)
                marks.append(Text(middle, base, column.mark, MARK_SIZE, "regular", "middle"))
        at += wide + more
        marks.append(Line(at, top, at, foot, MEDIUM))
    return tuple(marks)


def _names(tuning: Tuning, strings: Sequence[int]) -> float:
    """The room for the strings' names."""
    return max(text_width(noted(tuning.names[-s]), MARK_SIZE) for s in strings) + NAMES


def _needed(bar: TabBar) -> float:
    """The least width of a bar."""
    wide = 0.0
    for column in bar:
        symbol = chord_width(column.symbol, SYMBOL_SIZE) + APART if column.symbol else 0.0
        mark = text_width(column.mark, MARK_SIZE) + APART
        wide = max(wide, COLUMN, symbol, mark)
    return wide * len(bar) + 2 * EDGE
