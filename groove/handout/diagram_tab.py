"""Tablature drawn: a line for each string, string 1 on top, frets as numbers on the lines."""

from __future__ import annotations

from collections.abc import Sequence

from groove.handout.diagram import CAP
from groove.handout.fretboard import Place, Tuning
from groove.handout.page import MEDIUM, POINT, THIN, Line, Mark, Rect, Text, text_width
from groove.handout.symbols import signs

SIZE, MARK_SIZE = 10.0, 9.0  # points
GAP, COLUMN, EDGE = 3.4, 5.4, 1.8  # mm: string to string, note to note, before the first
NAMES = 6.0  # mm, for the strings' names
MARKS_HEIGHT = 5.5  # mm


def tab_size(tuning: Tuning, columns: int, *, marked: bool = False) -> tuple[float, float]:
    """How wide and high a drawn tablature is, in mm; marked: with words under its columns."""
    high = (len(tuning.open_strings) - 1) * GAP + 2 * CAP * SIZE * POINT
    return NAMES + 2 * EDGE + columns * COLUMN, high + (MARKS_HEIGHT if marked else 0)


def draw_tab(
    tuning: Tuning,
    columns: Sequence[Sequence[Place]],
    *,
    x: float,
    y: float,
    marks: Sequence[str] = (),
) -> tuple[Mark, ...]:
    """The marks of a tablature whose top left corner is (x, y), in mm.

    columns: what sounds together, in order. marks: a word under each column; none if left out.
    """
    wide, _ = tab_size(tuning, len(columns))
    half = CAP * SIZE * POINT
    top, left, right = y + half, x + NAMES, x + wide
    foot = top + (len(tuning.open_strings) - 1) * GAP
    drawn: list[Mark] = []
    for string in tuning.strings:
        level = top + (string - 1) * GAP
        drawn.append(Line(left, level, right, level, THIN))
        name = signs(tuning.names[-string])
        drawn.append(
            Text(left - 1.5, level + CAP * MARK_SIZE * POINT, name, MARK_SIZE, anchor="end")
        )
    drawn += [Line(at, top, at, foot, MEDIUM) for at in (left, right)]
    for number, column in enumerate(columns):
        at = left + EDGE + (number + 0.5) * COLUMN
        for place in column:
            level = top + (place.string - 1) * GAP
            room = text_width(str(place.fret), SIZE, "bold") + 0.8
            drawn.append(Rect(at - room / 2, level - half, room, 2 * half, 0.0, 0.0))
            drawn.append(Text(at, level + half, str(place.fret), SIZE, "bold", "middle"))
        if marks and marks[number]:
            below = foot + MARKS_HEIGHT - 0.8
            drawn.append(Text(at, below, signs(marks[number]), MARK_SIZE, "regular", "middle"))
    return tuple(drawn)
