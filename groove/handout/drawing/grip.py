"""Chord grips drawn: the neck upright, the nut on top, string 1 at the right.

On each note that is pressed its finger, 1 the index to 4 the little one; the root is a square, the
others are round; the two notes of the third or sixth inside are filled. A finger across several
strings is a bar under its notes, from the first to the last of them. Over the neck a ring is an
open string, a cross one that doesn't sound; below each string the step of its note in the chord. At
the left the number of the first fret, where it is not the nut. A grip for the left hand is the
mirror of that for the right. The frame is common practice.
"""

from __future__ import annotations

from groove.handout.drawing.fretboard import CAP, ascent_of
from groove.handout.drawing.page import (
    MEDIUM,
    POINT,
    SMALLEST,
    THICK,
    THIN,
    Circle,
    Line,
    Mark,
    Rect,
    Text,
)
from groove.instrument.fretboard import Tuning
from groove.instrument.grips.grip import ChordGrip
from groove.instrument.positions import Dot
from groove.theory.symbols import signs

STRING_GAP, FRET_HEIGHT = 4.2, 4.9  # mm
NUMBER_WIDTH, EDGE = 4.6, 2.0  # mm: the column for the fret's number, and beyond the last string
OVER, BELOW = 4.2, 4.4  # mm: the row of open and damped strings, and that of steps
FEWEST_FRETS = 4  # shown
LAST_AT_NUT, LAST_WITH_OPEN = 4, 7  # the last fret for which the nut is shown
RADIUS, SMALL_RADIUS, CROSS = 1.95, 1.25, 1.1  # mm: of a dot, of an open string, of a cross
BARRE, BARRE_BEYOND = 2.8, 0.45  # mm: how thick a bar is, how far it goes beyond its last dots
WHITE, GREY, BLACK = 0.0, 0.45, 1.0


def grip_size(tuning: Tuning, grip: ChordGrip) -> tuple[float, float]:
    """Width and height in mm."""
    wide = NUMBER_WIDTH + (len(tuning.open_strings) - 1) * STRING_GAP + EDGE
    _, frets = shown_frets(grip)
    return wide, OVER + frets * FRET_HEIGHT + BELOW


def shown_frets(grip: ChordGrip) -> tuple[int, int]:
    """The first fret of a drawing, and how many it shows."""
    last = max((dot.fret for dot in grip.dots), default=0)
    open_ = any(not dot.fret for dot in grip.dots)
    first = 1 if last <= (LAST_WITH_OPEN if open_ else LAST_AT_NUT) else grip.fret
    return first, max(FEWEST_FRETS, last - first + 1)


def draw_grip(
    tuning: Tuning, grip: ChordGrip, *, x: float, y: float, left_handed: bool = False
) -> tuple[Mark, ...]:
    """The marks of a grip whose top left corner is (x, y), in mm."""
    strings = list(tuning.strings)
    first, frets = shown_frets(grip)
    wide, _ = grip_size(tuning, grip)
    top = y + OVER
    foot = top + frets * FRET_HEIGHT

    def across(offset: float) -> float:
        return x + (wide - offset if left_handed else offset)

    def column(string: int) -> float:
        return across(NUMBER_WIDTH + strings.index(string) * STRING_GAP)

    def row(fret: int) -> float:
        return top + (fret - first + 0.5) * FRET_HEIGHT

    low, high = sorted((column(strings[0]), column(strings[-1])))
    marks: list[Mark] = [Line(column(s), top, column(s), foot, THIN) for s in strings]
    for wire in range(frets + 1):
        level = top + wire * FRET_HEIGHT
        thick = THICK if wire == 0 and first == 1 else THIN
        marks.append(Line(low - thick / 2, level, high + thick / 2, level, thick))
    if first > 1:
        anchor = "start" if left_handed else "end"
        at = across(NUMBER_WIDTH - RADIUS - BARRE_BEYOND - 0.6)
        level = row(first) + CAP * SMALLEST * POINT
        marks.append(Text(at, level, str(first), SMALLEST, "regular", anchor))
    for barre in grip.barres:
        left, right = sorted((column(barre.last), column(barre.first)))
        marks.append(barre_mark(left, right, row(barre.fret)))
    inside = grip.inside.strings if grip.inside else ()
    for string in grip.muted:
        marks += small_cross(column(string), y + OVER - 1.9)
    for dot in grip.dots:
        filled = dot.string in inside
        at, level = column(dot.string), row(dot.fret) if dot.fret else y + OVER - 1.9
        marks += draw_grip_dot(at, level, dot, filled=filled)
        step = signs(dot.degree)
        face = "bold" if filled else "regular"
        base = foot + 1.2 + ascent_of(SMALLEST)
        marks.append(Text(at, base, step, SMALLEST, face, "middle"))
    return tuple(marks)


def draw_grip_dot(x: float, y: float, dot: Dot, *, filled: bool) -> tuple[Mark, ...]:
    """A note of a grip with its middle at (x, y)."""
    radius = RADIUS if dot.fret else SMALL_RADIUS
    fill = BLACK if filled else WHITE
    shape: Mark = Circle(x, y, radius, fill, MEDIUM)
    if dot.role == "root":
        shape = Rect(x - radius, y - radius, 2 * radius, 2 * radius, fill, MEDIUM)
    if not dot.fret:
        return (shape,)
    foot = y + CAP * SMALLEST * POINT
    ink = WHITE if filled else BLACK
    return shape, Text(x, foot, str(dot.finger), SMALLEST, "bold", "middle", ink)


def barre_mark(left: float, right: float, y: float) -> Mark:
    """The bar of a finger across strings, from the middle of its first dot to that of its last; it
    is wider than they are, so that it shows on two neighbouring strings too."""
    beyond = RADIUS + BARRE_BEYOND
    return Rect(left - beyond, y - BARRE / 2, right - left + 2 * beyond, BARRE, GREY, 0.0)


def small_cross(x: float, y: float) -> list[Mark]:
    """The mark of a string that doesn't sound, its middle at (x, y)."""
    return [
        Line(x - CROSS, y - CROSS, x + CROSS, y + CROSS, MEDIUM),
        Line(x - CROSS, y + CROSS, x + CROSS, y - CROSS, MEDIUM),
    ]
