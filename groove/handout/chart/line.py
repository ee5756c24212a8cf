"""One line of the chart on paper: up to four bars, with the marks above and below them."""

from __future__ import annotations

from collections.abc import Sequence

from groove.handout.chart.above import above_marks, above_room
from groove.handout.chart.below import below_marks, below_room
from groove.handout.chart.cells import (
    BEAT,
    BETWEEN,
    CAPITAL,
    DOUBLE,
    NUMERAL_DROP,
    TO_BEATS,
    UNDER,
    BarCell,
    Bars,
    Measures,
    cells,
    cue_space,
    numeral_size,
    rhythm_room,
    signature_marks,
)
from groove.handout.chart.rhythm_marks import rhythm_marks
from groove.handout.chart.staff import staff_marks, staff_room
from groove.handout.drawing.chord_symbol import chord_marks, chord_width
from groove.handout.drawing.page import (
    MEDIUM,
    POINT,
    SMALLEST,
    THICK,
    Circle,
    Glyph,
    Line,
    Mark,
    Polygon,
    Text,
)

DOTS = 0.5  # mm, their radius
NUMBER = 1.2  # mm from a bar's number to the line


def line_height(line: Bars, measures: Measures) -> float:
    """The height of a line in mm, with the space that sets it apart from the one above."""
    height = (CAPITAL + TO_BEATS + BEAT + UNDER + BETWEEN) * measures.em + measures.air
    height += rhythm_room(line, measures)
    _, placed = cells(line, 0.0, measures)
    height += above_room(line, placed, measures) + below_room(line, measures)
    height += staff_room(line, measures)
    if measures.numerals:
        height += _numeral_room(measures)
    return height


def bar_line_ends(line: Bars, foot: float, measures: Measures) -> tuple[float, float]:
    """Top and foot of the bar lines of a line whose lowest marks stand at ``foot``, in mm."""
    bottom = foot - below_room(line, measures) - staff_room(line, measures)
    bottom -= _numeral_room(measures) if measures.numerals else 0.0
    high = (CAPITAL + TO_BEATS + BEAT + UNDER) * measures.em + rhythm_room(line, measures)
    return bottom - high, bottom


def line_marks(line: Bars, foot: float, left: float, measures: Measures) -> list[Mark]:
    """The marks of a line whose lowest stand at ``foot``; all in mm."""
    size, placed = cells(line, left, measures)
    top, bottom = bar_line_ends(line, foot, measures)
    beats = bottom - (UNDER + BEAT / 2) * measures.em
    rhythm = beats - (BEAT / 2 + TO_BEATS) * measures.em
    baseline = top + CAPITAL * measures.em
    marks: list[Mark] = []
    if line[0].number > 1:
        marks.append(_number(line[0].number, left, top))
    if not (line[0].opens or line[0].continued):
        marks.append(Line(left, top, left, bottom, MEDIUM))
    for number, cell in enumerate(placed):
        if cell.bar.same:
            middle = (cell.left + cell.right) / 2
            space = 0.24 * measures.em
            marks.append(Glyph(middle, (top + bottom) / 2, "repeat bar", space, "middle"))
        else:
            marks += _chords(cell, baseline, beats, size, measures)
            marks += _rhythm(placed, number, rhythm, beats, measures)
        marks += signature_marks(cell, (top + bottom) / 2, measures)
        marks += _bar_lines(cell, top, bottom)
    under = bottom + (_numeral_room(measures) if measures.numerals else 0.0)
    marks += staff_marks(placed, under, measures)
    marks += above_marks(placed, top, measures)
    marks += below_marks(placed, foot - below_room(line, measures), measures)
    return marks


def _number(number: int, left: float, top: float) -> Text:
    """The number of the first bar of a line, before it."""
    return Text(left - NUMBER, top + 0.7 * SMALLEST * POINT, str(number), SMALLEST, anchor="end")


def _numeral_room(measures: Measures) -> float:
    return measures.small * POINT + NUMERAL_DROP * measures.em


def _rhythm(
    placed: Sequence[BarCell], number: int, above: float, beats: float, measures: Measures
) -> list[Mark]:
    """The rhythm of a bar, and a fermata over the beat that is held."""
    cell = placed[number]
    marks = rhythm_marks(placed, number, above, beats, measures)
    if cell.bar.fermata is not None:
        space = 1.4 * cue_space(measures)
        at = cell.at(cell.bar.fermata) + 0.13 * measures.em
        up = 2.8 * cue_space(measures) if cell.bar.rhythm else 0.0
        marks.append(Glyph(at, above - up, "fermata", space, "middle"))
    return marks


def _chords(
    cell: BarCell, baseline: float, beats: float, size: float, measures: Measures
) -> list[Mark]:
    """Chords over the beats on which they begin, strokes for the beats, numerals below."""
    marks: list[Mark] = []
    for placed in cell.bar.chords:
        x = cell.at(placed.start)
        shown = placed.drawn
        marks += chord_marks(shown, x, baseline, size)
        if cell.bar.rest == "ring":
            x_held = x + chord_width(shown, size) + 0.3 * size * POINT
            marks.append(Glyph(x_held, baseline - 0.2 * measures.em, "fermata", 0.2 * size * POINT))
        if measures.numerals:
            small = numeral_size(size, measures)
            y = (
                beats
                + (BEAT / 2 + UNDER + NUMERAL_DROP) * measures.em
                + 0.72 * measures.small * POINT
            )
            marks.append(Text(x, y, placed.numeral, small))
    if not cell.bar.stops:
        for start in cell.bar.meter.beat_starts[: 1 if cell.bar.rest else None]:
            marks.append(_stroke(cell.at(start), beats, measures.em))
    return marks


def _stroke(x: float, y: float, em: float) -> Polygon:
    """The slash that stands for a beat: slanted, cut flat, as a broad nib draws it."""
    half, lean, thick = BEAT / 2 * em, 0.2 * em, 0.065 * em
    return Polygon(
        ((x, y + half), (x + lean, y - half), (x + lean + thick, y - half), (x + thick, y + half))
    )


def _bar_lines(cell: BarCell, top: float, bottom: float) -> list[Mark]:
    """The bar line at the right of a bar, and its repeat signs."""
    bar, right = cell.bar, cell.right
    marks: list[Mark] = []
    if bar.opens:
        marks += _thick_and_thin(cell.left, 1, top, bottom, dotted=True)
    if bar.continues:
        return marks
    if bar.closes or bar.last:
        marks += _thick_and_thin(right, -1, top, bottom, dotted=bar.closes)
        return marks
    if bar.ends_section:
        marks.append(Line(right - DOUBLE, top, right - DOUBLE, bottom, MEDIUM))
    return [*marks, Line(right, top, right, bottom, MEDIUM)]


def _thick_and_thin(x: float, side: int, top: float, bottom: float, *, dotted: bool) -> list[Mark]:
    """A thick line at x, a thin one beside it and perhaps dots; side: 1 to the right, -1 left."""
    at_thick, at_thin = x + side * THICK / 2, x + side * (THICK + 0.8)
    marks: list[Mark] = [
        Line(at_thick, top, at_thick, bottom, THICK),
        Line(at_thin, top, at_thin, bottom, MEDIUM),
    ]
    if dotted:
        middle, apart = (top + bottom) / 2, (bottom - top) / 9
        at_dots = x + side * (THICK + 2.0)
        marks += [Circle(at_dots, middle + d, DOTS, 1.0, 0.0) for d in (-apart, apart)]
    return marks
