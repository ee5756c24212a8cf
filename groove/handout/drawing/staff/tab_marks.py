"""The tablature of a system under its staff: fret numbers, bends, slides, hammer-ons and pull-offs.

Heights are in mm from the top line, downwards. Trade convention: a bend is an arrow that rises
over the strings with the bend in steps over it, ``full`` a whole one; a release comes down again;
a slide is a slanted line; a hammer-on and a pull-off are slurs with H and P; the fret of a note
that goes on from the one before stands in brackets.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from groove.handout.drawing.fretboard import CAP
from groove.handout.drawing.page import (
    MEDIUM,
    POINT,
    SMALLEST,
    THIN,
    Glyph,
    Line,
    Mark,
    Polygon,
    Text,
    text_width,
)
from groove.handout.drawing.staff.spacing import (
    BEND,
    RELEASE,
    SPACE,
    ColumnPlace,
    StaffCell,
    fret_text,
)
from groove.handout.drawing.staff.stems import slur
from groove.handout.drawing.staff.written import Head, joined_from
from groove.handout.drawing.tab import GAP as STRING
from groove.handout.drawing.tab import SIZE, fret_marks
from groove.instrument.fretboard import Tuning
from groove.lesson.line import HAMMER, PULL, SLIDE
from groove.theory.symbols import noted
from groove.wording import words_of

HALF = CAP * SIZE * POINT  # half the height of a fret number
LETTERS_ROW, BEND_ROW = 3.4, 3.4  # mm over the top line: of H and P, of an arrow's end over those
ARROW, STROKE = 0.75, 0.24  # mm: half of an arrow head, and the line of a bend
CURVE = 10
OVER_EDGE = 3.0  # mm that a slur or slide goes over the beginning of a system
SLIDE_LINE = 0.28  # mm
BEFORE = 1.2  # mm from a letter to its note, where the slur's middle is not free
SLANT = 0.9  # mm that a slide rises or falls over its string, either way
NAME_GAP = 1.0  # mm from a string's name to its line
TAB_HIGH = 6.05  # spaces: of the word TAB in the music face
TAB_SHARE, WIDEST_TAB = 0.95, 2.9  # of the lines' height; mm between two lines at most


@dataclass(frozen=True, slots=True)
class _Number:
    """A fret number: its head, column, fret and level, in mm."""

    head: Head
    place: ColumnPlace
    fret: int
    level: float

    @property
    def text(self) -> str:
        """The number as it stands there."""
        return fret_text(self.fret, self.head.tied)

    @property
    def half(self) -> float:
        """Half its width."""
        return text_width(self.text, SIZE, "bold") / 2


def tab_height(tuning: Tuning) -> float:
    """From the top line to the lowest, in mm."""
    return (len(tuning.open_strings) - 1) * STRING


def tab_marks(cells: Sequence[StaffCell], tuning: Tuning) -> list[Mark]:
    """The tablature of a system."""
    right, foot = cells[-1].right, tab_height(tuning)
    marks: list[Mark] = [
        Line(0.0, row * STRING, right, row * STRING, THIN)
        for row in range(len(tuning.open_strings))
    ]
    marks += _clef(tuning)
    places = [place for cell in cells for place in cell.places]
    joined = any(
        head.note.joined in (HAMMER, PULL) and not head.tied
        for place in places
        for head in place.column.heads
    )
    for place in places:
        for found in _numbers(place):
            marks += fret_marks(place.middle, found.level, found.text)
    for before, place in zip([None, *places], places, strict=False):
        follows = [n for n in _numbers(place) if n.head.note.joined and not n.head.tied]
        for found in follows:
            marks.append(_join(found, before))
        marks += _letters(follows, before)
        marks += _bends(place, LETTERS_ROW if joined else 0.0)
    return marks + [Line(x, 0.0, x, foot, MEDIUM) for x in (0.0, *(cell.right for cell in cells))]


def _clef(tuning: Tuning) -> list[Mark]:
    """The word TAB, and before the lines the strings' names."""
    marks: list[Mark] = []
    for row, name in enumerate(reversed(tuning.names)):
        base = row * STRING + CAP * SMALLEST * POINT
        marks.append(Text(-NAME_GAP, base, noted(name), SMALLEST, anchor="end"))
    high = max(tab_height(tuning), 2 * STRING)
    space = min(TAB_SHARE * high / TAB_HIGH, WIDEST_TAB)
    return [*marks, Glyph(NAME_GAP, tab_height(tuning) / 2, "tab clef", space)]


def names_width(tuning: Tuning) -> float:
    """The room of the strings' names before the lines, in mm."""
    return max(text_width(noted(name), SMALLEST) for name in tuning.names) + NAME_GAP


def _numbers(place: ColumnPlace) -> list[_Number]:
    return [
        _Number(head, place, head.note.place.fret, (head.note.place.string - 1) * STRING)
        for head in place.column.heads
        if head.note.place
    ]


def _number_before(found: _Number, before: ColumnPlace | None) -> _Number | None:
    """The number from which one is hammered, pulled or slid; None in the system before."""
    other = joined_from(found.head, before.column if before else None)
    numbers = _numbers(before) if before else []
    return next((number for number in numbers if number.head is other), None)


def _join(found: _Number, before: ColumnPlace | None) -> Mark:
    """The slur or the slanted line to a note from the one before it on its string."""
    other = _number_before(found, before)
    end, level = found.place.middle, found.level
    if found.head.note.joined == SLIDE:
        begin = other.place.middle + other.half if other else end - found.half - OVER_EDGE
        way = SLANT if other is None or found.fret >= other.fret else -SLANT
        return Line(begin + 0.5, level + way, end - found.half - 0.5, level - way, SLIDE_LINE)
    y = level - HALF - 0.25
    begin = other.place.middle if other else end - OVER_EDGE
    return slur((begin, y), (end, y), SPACE * 0.8, over=True)


def _letters(follows: Sequence[_Number], before: ColumnPlace | None) -> list[Mark]:
    """The letter of a hammer-on or pull-off, in the middle of its slur, once for two strings;
    near the note itself after a bend, whose arrow has its place."""
    marks: list[Mark] = []
    for joined in dict.fromkeys(found.head.note.joined for found in follows):
        if joined == SLIDE:
            continue
        found = next(n for n in follows if n.head.note.joined == joined)
        other = _number_before(found, before)
        at = found.place.middle - BEFORE
        if other and not other.head.note.bend:
            at = (found.place.middle + other.place.middle) / 2
        letter = words_of("staff")["letters"][joined]
        marks.append(Text(at, -LETTERS_ROW, letter, SMALLEST, "regular", "middle"))
    return marks[:1]


def _bends(place: ColumnPlace, letters: float) -> list[Mark]:
    """The arrows of the bends that begin in a column."""
    bent = [n for n in _numbers(place) if n.head.note.bend and not n.head.tied]
    if not bent:
        return []
    top = -letters - BEND_ROW
    x = max(place.middle + number.half for number in bent) + BEND - ARROW
    marks: list[Mark] = []
    for number in bent:
        start = place.middle + number.half + 0.5
        level = number.level
        corner = (x, level)
        marks.append(_curve((start, level), corner, (x, top + ARROW)))
        if number.head.note.release:
            end = x + RELEASE - ARROW
            marks.append(_curve((x, top + ARROW), (end, top + ARROW), (end, level - ARROW)))
            marks.append(_arrow(end, level, down=True))
    marks.append(_arrow(x, top, down=False))
    labels = dict.fromkeys(bend_label(number.head.note.bend) for number in bent)
    marks.append(Text(x, top - 0.7, " + ".join(labels), SMALLEST, "regular", "middle"))
    return marks


def bend_label(bend: Fraction) -> str:
    """A bend as the trade writes it, in whole steps."""
    label: str = words_of("staff")["bends"][str(bend / 2)]
    return label


def _arrow(x: float, y: float, *, down: bool) -> Polygon:
    """An arrow head with its tip at a place."""
    back = -2 * ARROW if down else 2 * ARROW
    return Polygon(((x, y), (x - ARROW, y + back), (x + ARROW, y + back)))


def _curve(
    start: tuple[float, float], corner: tuple[float, float], end: tuple[float, float]
) -> Polygon:
    """A curved line from start to end that leaves and comes along its corner."""
    points = []
    for step in range(CURVE + 1):
        t = step / CURVE
        a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
        points.append(
            (
                a * start[0] + b * corner[0] + c * end[0],
                a * start[1] + b * corner[1] + c * end[1],
            )
        )
    outer, inner = [], []
    for number, (x, y) in enumerate(points):
        x1, y1 = points[max(number - 1, 0)]
        x2, y2 = points[min(number + 1, CURVE)]
        long = max(((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5, 1e-6)
        dx, dy = -(y2 - y1) / long * STROKE / 2, (x2 - x1) / long * STROKE / 2
        outer.append((x + dx, y + dy))
        inner.append((x - dx, y - dy))
    return Polygon((*outer, *reversed(inner)))
