"""Tablature drawn: a line for each string, string 1 on top, frets as numbers on the lines.

Over it the lengths of the notes, under it lines of words, such as the degree of each note.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from groove.handout.drawing.fretboard import CAP
from groove.handout.drawing.note_values import draw_values, row_height
from groove.handout.drawing.page import MEDIUM, POINT, THIN, Line, Mark, Rect, Text, text_width
from groove.instrument.fretboard import Place, Tuning
from groove.theory.symbols import noted

SIZE, MARK_SIZE = 10.0, 9.0  # points
GAP, COLUMN, EDGE = 3.4, 5.6, 1.4  # mm: string to string, note to note at least, at either end
NAMES, AFTER_NAMES = 2.2, 1.5  # mm, for the strings' names at least, and before the lines
MARK_LINE, APART = 4.2, 1.4  # mm: a line of words, and from one to its neighbour

Row = tuple[str, Sequence[str]]


def tab_size(
    tuning: Tuning,
    columns: int,
    *,
    lengths: Sequence[Fraction] = (),
    under: Sequence[Row] = (),
) -> tuple[float, float]:
    """Width and height, in mm, of a drawn tablature with so many columns."""
    high = (len(tuning.open_strings) - 1) * GAP + 2 * CAP * SIZE * POINT
    below = MARK_LINE * len(under) + 1.1 if under else 0.0
    wide = _before(tuning, under) + 2 * EDGE + columns * _column(under)
    return wide, row_height(lengths) + high + below


def draw_tab(
    tuning: Tuning,
    columns: Sequence[Sequence[Place]],
    *,
    x: float,
    y: float,
    lengths: Sequence[Fraction] = (),
    under: Sequence[Row] = (),
) -> tuple[Mark, ...]:
    """The marks of a tablature whose top left corner is (x, y), in mm.

    columns: notes that sound together, in order. lengths: of each column, in quarter notes; not
    shown if left out. under: lines of words, one under each column, with a word before them.
    """
    wide, _ = tab_size(tuning, len(columns), under=under)
    half, column_wide = CAP * SIZE * POINT, _column(under)
    left, right = x + _before(tuning, under), x + wide
    middles = [left + EDGE + (number + 0.5) * column_wide for number in range(len(columns))]
    above = row_height(lengths)
    top = y + above + half
    foot = top + (len(tuning.open_strings) - 1) * GAP
    drawn: list[Mark] = draw_values(lengths, middles, y + above - 0.4) if lengths else []
    for string in tuning.strings:
        level = top + (string - 1) * GAP
        drawn.append(Line(left, level, right, level, THIN))
        name = noted(tuning.names[-string])
        drawn.append(_before_line(left, level, name))
    drawn += [Line(at, top, at, foot, MEDIUM) for at in (left, right)]
    for at, column in zip(middles, columns, strict=True):
        for place in column:
            level = top + (place.string - 1) * GAP
            drawn += fret_marks(at, level, str(place.fret))
    for number, (title, words) in enumerate(under):
        level = foot + half + MARK_LINE * (number + 0.5) + 0.6
        if title:
            drawn.append(_before_line(left, level, title))
        for at, word in zip(middles, words, strict=True):
            if word:
                base = level + CAP * MARK_SIZE * POINT
                face = "bold" if word.endswith("!") else "regular"
                drawn.append(Text(at, base, noted(word), MARK_SIZE, face, "middle"))
    return tuple(drawn)


def fret_marks(at: float, level: float, text: str) -> list[Mark]:
    """A fret number on its string's line, its middle at a place in mm; the line ends beside it."""
    half = CAP * SIZE * POINT
    room = text_width(text, SIZE, "bold") + 0.8
    return [
        Rect(at - room / 2, level - half, room, 2 * half, 0.0, 0.0),
        Text(at, level + half, text, SIZE, "bold", "middle"),
    ]


def _before_line(left: float, level: float, words: str) -> Text:
    """The word before a line: a string's name or a chord."""
    return Text(left - AFTER_NAMES, level + CAP * MARK_SIZE * POINT, words, MARK_SIZE, anchor="end")


def _before(tuning: Tuning, under: Sequence[Row]) -> float:
    """The room before the lines."""
    words = [*map(noted, tuning.names), *(title for title, _ in under)]
    return max(NAMES, *(text_width(word, MARK_SIZE) for word in words)) + AFTER_NAMES


def _column(under: Sequence[Row]) -> float:
    """From note to note: as wide as the words under them ask."""
    widest = max(
        (text_width(noted(word), MARK_SIZE, "bold") for _, words in under for word in words),
        default=0.0,
    )
    return max(COLUMN, widest + APART)
