"""One line of the chart on paper: up to four bars, with the marks above and below them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from groove.handout.chart.written import WrittenBar
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
    fitted,
    text_width,
)
from groove.rhythm.meter import Meter

Bars = Sequence[WrittenBar]

# Heights in ems of the chords.
CAPITAL, TO_BEATS, BEAT, UNDER, NUMERAL_DROP = 0.80, 0.24, 0.34, 0.06, 0.12
BETWEEN = 0.62  # to the line above
SIDE, REPEAT_SIDE = 2.8, 5.4  # mm between a bar line and the first beat
CHORD_GAP, NUMERAL_GAP = 0.26, 1.2  # ems, mm: the least between neighbours
NARROWEST_BEAT, NARROWEST_SIMILE = 2.0, 9.0  # mm
STEP = 0.97  # how sizes are tried, one after the other
LEAST_EVEN = 0.62  # of the size wanted: for less, bars become as wide as they need
SECTION = 1.25  # of the small size: section names
BRACKET = 0.14  # ems from the bar lines up to a bracket
RISING, HANGING = 0.78, 0.26  # of the size of text, over and under its baseline
LABEL_GAP = 2.5  # mm between neighbours in the row above
HOOK = 2.2  # mm, the ends of a bracket
DOTS = 0.5  # mm, their radius
DOUBLE = 0.9  # mm between the two bar lines that end a section


@dataclass(frozen=True, slots=True)
class Measures:
    """The size of the chords in points, whether numerals stand under them, the metre, mm of air
    between two lines, and how many bars of equal width a line takes."""

    size: float
    numerals: bool
    meter: Meter
    air: float = 0.0
    across: int = 4

    @property
    def em(self) -> float:
        """The chords' size in mm."""
        return self.size * POINT

    @property
    def small(self) -> float:
        """The size of the marks above and below the chords, in points."""
        return max(SMALLEST, min(14.0, 0.5 * self.size))


@dataclass(frozen=True, slots=True)
class _BarCell:
    """A bar on a line: where its bar lines stand."""

    bar: WrittenBar
    left: float
    right: float

    @property
    def first_beat(self) -> float:
        return self.left + (REPEAT_SIDE if self.bar.opens else SIDE)

    @property
    def beats_end(self) -> float:
        """The place of the beat that would follow the last, in mm."""
        if self.bar.closes or self.bar.last:
            return self.right - (REPEAT_SIDE - SIDE)
        return self.right - (DOUBLE if self.bar.ends_section else 0.0)


def line_height(line: Bars, measures: Measures) -> float:
    """The height of a line in mm, with the space that sets it apart from the one above."""
    height = (CAPITAL + TO_BEATS + BEAT + UNDER + BETWEEN) * measures.em + measures.air
    if measures.numerals:
        height += _numeral_room(measures)
    if any(_labelled(bar) for bar in line):
        height += _label_room(measures)
    return height


def even_size(line: Bars, width: float, measures: Measures) -> float:
    """The largest size of chords, up to that of the measures, that fits bars of equal width."""
    size = measures.size
    while any(_need(bar, size, measures) > width / measures.across for bar in line):
        size *= STEP
        if size < LEAST_EVEN * measures.size:
            break
    return size


def bar_widths(line: Bars, width: float, measures: Measures) -> tuple[float, ...]:
    """The width of each bar of a line in mm: a quarter of the line's if the chords fit."""
    return tuple(cell.right - cell.left for cell in _cells(line, 0.0, width, measures)[1])


def line_marks(
    line: Bars, foot: float, left: float, width: float, measures: Measures
) -> list[Mark]:
    """The marks of a line whose lowest stand at ``foot``; all in mm."""
    size, cells = _cells(line, left, width, measures)
    bottom = foot - (_numeral_room(measures) if measures.numerals else 0.0)
    beats = bottom - (UNDER + BEAT / 2) * measures.em
    baseline = beats - (BEAT / 2 + TO_BEATS) * measures.em
    top = baseline - CAPITAL * measures.em
    marks: list[Mark] = []
    if not line[0].opens:
        marks.append(Line(left, top, left, bottom, MEDIUM))
    for number, cell in enumerate(cells):
        if cell.bar.same:
            middle = (cell.left + cell.right) / 2
            space = 0.24 * measures.em
            marks.append(Glyph(middle, (top + bottom) / 2, "repeat bar", space, "middle"))
        else:
            marks += _chords(cell, baseline, beats, size, measures)
        marks += _bar_lines(cell, top, bottom)
        marks += _above(cells, number, top - BRACKET * measures.em, measures)
    return marks


def _numeral_room(measures: Measures) -> float:
    return measures.small * POINT + NUMERAL_DROP * measures.em


def _label_room(measures: Measures) -> float:
    return (RISING + HANGING) * SECTION * measures.small * POINT + 1.4 * BRACKET * measures.em


def _labelled(bar: WrittenBar) -> bool:
    return bool(bar.section or bar.bracket or bar.times > 1 or bar.rest or bar.in_bracket)


def _cells(
    line: Bars, left: float, width: float, measures: Measures
) -> tuple[float, list[_BarCell]]:
    """The size of the chords of a line, and its bars, of equal width if they fit."""
    size = even_size(line, width, measures)
    even = width / measures.across
    widths = [even] * len(line)
    if any(_need(bar, size, measures) > even for bar in line):
        needs = [_need(bar, size, measures) for bar in line]
        while sum(needs) > width:
            size *= STEP
            needs = [_need(bar, size, measures) for bar in line]
        spare = max(0.0, even * len(line) - sum(needs)) / len(line)
        widths = [need + spare for need in needs]
    cells = []
    for bar, wide in zip(line, widths, strict=True):
        cells.append(_BarCell(bar, left, left + wide))
        left += wide
    return size, cells


def _need(bar: WrittenBar, size: float, measures: Measures) -> float:
    """The least width of a bar in which each chord ends before the next begins, in mm."""
    sides = _BarCell(bar, 0.0, 0.0)
    around = sides.first_beat - sides.beats_end
    least = around + NARROWEST_BEAT * measures.meter.beats * size / measures.size
    if bar.same:
        return around + NARROWEST_SIMILE
    for placed in bar.chords:
        wide = chord_width(placed.shown, size) + CHORD_GAP * size * POINT
        if bar.rest == "ring":
            wide += 0.9 * size * POINT
        if measures.numerals:
            small = _numeral_size(size, measures)
            wide = max(wide, text_width(placed.numeral, small) + NUMERAL_GAP * size / measures.size)
        least = max(least, around + wide * measures.meter.bar_ticks / placed.length)
    return least


def _numeral_size(size: float, measures: Measures) -> float:
    """Numerals keep their size until the chords of a crowded line become as small as they."""
    return min(measures.small, size)


def _chords(
    cell: _BarCell, baseline: float, beats: float, size: float, measures: Measures
) -> list[Mark]:
    """Chords over the beats on which they begin, strokes for the beats, numerals below."""
    left, span = cell.first_beat, cell.beats_end - cell.first_beat
    marks: list[Mark] = []
    for placed in cell.bar.chords:
        x = left + span * placed.start / measures.meter.bar_ticks
        shown = placed.shown
        marks += chord_marks(shown, x, baseline, size)
        if cell.bar.rest == "ring":
            x_held = x + chord_width(shown, size) + 0.3 * size * POINT
            marks.append(Glyph(x_held, baseline - 0.2 * measures.em, "fermata", 0.2 * size * POINT))
        if measures.numerals:
            small = _numeral_size(size, measures)
            y = (
                beats
                + (BEAT / 2 + UNDER + NUMERAL_DROP) * measures.em
                + 0.72 * measures.small * POINT
            )
            marks.append(Text(x, y, placed.numeral, small))
    for start in measures.meter.beat_starts[: 1 if cell.bar.rest else None]:
        marks.append(_stroke(left + span * start / measures.meter.bar_ticks, beats, measures.em))
    return marks


def _stroke(x: float, y: float, em: float) -> Polygon:
    """The slash that stands for a beat: slanted, cut flat, as a broad nib draws it."""
    half, lean, thick = BEAT / 2 * em, 0.2 * em, 0.065 * em
    return Polygon(
        ((x, y + half), (x + lean, y - half), (x + lean + thick, y - half), (x + thick, y + half))
    )


def _bar_lines(cell: _BarCell, top: float, bottom: float) -> list[Mark]:
    """The bar line at the right of a bar, and its repeat signs."""
    bar, right = cell.bar, cell.right
    marks: list[Mark] = []
    if bar.opens:
        marks += _thick_and_thin(cell.left, 1, top, bottom, dotted=True)
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


def _above(cells: Sequence[_BarCell], number: int, y: float, measures: Measures) -> list[Mark]:
    """The marks in the row above a bar: bracket, section name, number of repeats."""
    cell, bar, small = cells[number], cells[number].bar, measures.small
    after = cells[number + 1].bar if number + 1 < len(cells) else None
    marks: list[Mark] = []
    x, baseline = cell.left, y - HANGING * SECTION * small * POINT - MEDIUM
    end = next(
        (c.left - LABEL_GAP for c in cells[number + 1 :] if _labelled(c.bar)), cells[-1].right
    )
    if bar.in_bracket:
        goes_on = after is not None and after.in_bracket and not bar.closes
        right = cell.right if goes_on else cell.right - 0.8
        marks.append(Line(cell.left, y, right, y, MEDIUM))
        if bar.bracket:
            marks.append(Line(cell.left, y, cell.left, y + HOOK, MEDIUM))
            marks.append(Text(cell.left + 1.6, baseline, bar.bracket, small))
            x += 1.6 + text_width(bar.bracket, small) + LABEL_GAP
        if bar.closes:
            marks.append(Line(right, y, right, y + HOOK, MEDIUM))
            end = min(end, right - LABEL_GAP)
    if bar.closes and bar.times > 1:
        words = "twice" if bar.times == 2 else f"{bar.times} times"
        right = cell.right - (LABEL_GAP if after and _labelled(after) else 0.0)
        marks.append(Text(right, baseline, words, small, "italic", "end"))
        end = right - text_width(words, small, "italic") - LABEL_GAP
    name = fitted(bar.section, end - x, SECTION * small, "bold")
    if name:
        marks.append(Text(x, baseline, name, SECTION * small, "bold"))
    if bar.rest and not bar.in_bracket:
        marks.append(Text(x, baseline, "to finish", small, "italic"))
    return marks
