"""Sizes of a line of the chart, and where the bars on it begin and end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from groove.handout.chart.bar import WrittenBar
from groove.handout.drawing.chord_symbol import chord_width
from groove.handout.drawing.page import (
    POINT,
    SMALLEST,
    Mark,
    glyph_width,
    text_width,
)
from groove.handout.drawing.staff.clefs import time_marks, time_width

Bars = Sequence[WrittenBar]

# Heights in ems of the chords.
CAPITAL, TO_BEATS, BEAT, UNDER, NUMERAL_DROP = 0.80, 0.24, 0.34, 0.06, 0.12
CUE, LEAST_CUE = 0.105, 1.0  # ems, mm: between two staff lines, for the size of cue notes
BETWEEN = 0.62  # to the line above
STAFF, LEAST_STAFF = 0.15, 1.2  # ems, mm: between two lines of the staff of a melody
SIGNATURE = 0.26  # ems between two staff lines, for the size of a time signature
SIDE, REPEAT_SIDE = 2.8, 5.4  # mm between a bar line and the first beat
AFTER_SIGNATURE = 2.0  # mm
CHORD_GAP, NUMERAL_GAP = 0.26, 1.2  # ems, mm: the least between neighbours
NARROWEST_BEAT, NARROWEST_SIMILE = 2.0, 9.0  # mm
NARROWEST_NOTE = 0.42  # ems, from a note or rest of a rhythm to the next
STEP = 0.97  # how sizes are tried, one after the other
LEAST_EVEN = 0.62  # of the size wanted: for less, bars become as wide as they need
DOUBLE = 0.9  # mm between the two bar lines that end a section


@dataclass(frozen=True, slots=True)
class Measures:
    """The size of the chords in points, whether numerals stand under them, the width of a line in
    mm, mm of air between two lines, how many bars of equal width a line takes, and the clef of
    melodies. least: points, the size down to which chords shrink for bars of equal width; 0 where
    it is a share of their size. beside_names: whether words stand beside names of sections if there
    is room, else above them."""

    size: float
    numerals: bool
    width: float
    air: float = 0.0
    across: int = 4
    clef: str = "treble"
    least: float = 0.0
    beside_names: bool = False

    @property
    def em(self) -> float:
        """The chords' size in mm."""
        return self.size * POINT

    @property
    def small(self) -> float:
        """The size of the marks above and below the chords, in points."""
        return max(SMALLEST, min(14.0, 0.5 * self.size))


@dataclass(frozen=True, slots=True)
class BarCell:
    """A bar on a line: where its bar lines stand, and the room for its time signature, in mm."""

    bar: WrittenBar
    left: float
    right: float
    signature: float

    @property
    def first_beat(self) -> float:
        """The place of the first beat."""
        return self.left + (REPEAT_SIDE if self.bar.opens else SIDE) + self.signature

    @property
    def beats_end(self) -> float:
        """The place of the beat that would follow the last, in mm."""
        if self.bar.closes or self.bar.last:
            return self.right - (REPEAT_SIDE - SIDE)
        return self.right - (DOUBLE if self.bar.ends_section else 0.0)

    def at(self, tick: int) -> float:
        """The place of a tick of the bar, in mm."""
        span = self.beats_end - self.first_beat
        return self.first_beat + span * tick / self.bar.meter.bar_ticks


def cue_space(measures: Measures) -> float:
    """The distance of two staff lines from which cue notes would come, in mm."""
    return max(LEAST_CUE, CUE * measures.em)


def staff_space(measures: Measures) -> float:
    """The distance of two lines of the staff of a melody, in mm."""
    return max(LEAST_STAFF, STAFF * measures.em)


def rhythm_room(line: Bars, measures: Measures) -> float:
    """The height of the row of rhythms between chords and slashes, in mm; 0 without any."""
    if not any(bar.rhythm or bar.stops or bar.fermata is not None for bar in line):
        return 0.0
    notes = [note for bar in line for note in bar.rhythm]
    over = 1.2 * cue_space(measures) if any(note.accent for note in notes) else 0.0
    over += 0.8 * SMALLEST * POINT if any(note.triplet for note in notes) else 0.0
    return 4.4 * cue_space(measures) + over


def fits_evenly(line: Bars, measures: Measures) -> bool:
    """True if the chords fit bars of equal width in the size of the measures."""
    even = measures.width / measures.across
    return all(need <= even for need in _needs(line, measures.size, measures))


def even_size(line: Bars, measures: Measures) -> float:
    """The largest size of chords, up to that of the measures, that fits bars of equal width."""
    size = measures.size
    even = measures.width / measures.across
    while any(need > even for need in _needs(line, size, measures)):
        size *= STEP
        if size < measures.least:
            return measures.least
        if size < LEAST_EVEN * measures.size:
            break
    return size


def bar_widths(line: Bars, measures: Measures) -> tuple[float, ...]:
    """The width of each bar of a line in mm: a quarter of the line's if the chords fit."""
    return tuple(cell.right - cell.left for cell in cells(line, 0.0, measures)[1])


def cells(line: Bars, left: float, measures: Measures) -> tuple[float, list[BarCell]]:
    """The size of the chords of a line, and its bars, of equal width if they fit."""
    size = even_size(line, measures)
    even = measures.width / measures.across
    widths = [even] * len(line)
    needs = _needs(line, size, measures)
    if any(need > even for need in needs):
        while sum(needs) > measures.width and size > measures.least:
            size = max(size * STEP, measures.least)
            needs = _needs(line, size, measures)
        spare = max(0.0, even * len(line) - sum(needs)) / len(line)
        widths = [need + spare for need in needs]
    found = []
    for bar, wide, room in zip(line, widths, _rooms(line, measures), strict=True):
        found.append(BarCell(bar, left, left + wide, room))
        left += wide
    return size, found


def _needs(line: Bars, size: float, measures: Measures) -> list[float]:
    rooms = _rooms(line, measures)
    return [_need(bar, room, size, measures) for bar, room in zip(line, rooms, strict=True)]


def _need(bar: WrittenBar, room: float, size: float, measures: Measures) -> float:
    """The least width of a bar in which each chord ends before the next begins, in mm; room: for
    its signatures."""
    sides = BarCell(bar, 0.0, 0.0, room)
    around = sides.first_beat - sides.beats_end
    least = around + NARROWEST_BEAT * bar.meter.beats * size / measures.size
    if bar.same:
        return around + NARROWEST_SIMILE
    for note in (*bar.rhythm, *(tune.note for tune in bar.melody)):
        close = NARROWEST_NOTE * size * POINT * bar.meter.bar_ticks / note.length
        least = max(least, around + close)
    for placed in bar.chords:
        wide = chord_width(placed.drawn, size) + CHORD_GAP * size * POINT
        if bar.rest == "ring":
            wide += 0.9 * size * POINT
        if measures.numerals:
            small = numeral_size(size, measures)
            wide = max(wide, text_width(placed.numeral, small) + NUMERAL_GAP * size / measures.size)
        least = max(least, around + wide * bar.meter.bar_ticks / placed.length)
    return least


def numeral_size(size: float, measures: Measures) -> float:
    """Numerals keep their size until the chords of a crowded line become as small as they."""
    return min(measures.small, size)


def _rooms(line: Bars, measures: Measures) -> list[float]:
    """The room that the signatures of each bar take before its first beat, in mm."""
    rooms = [_signature_room(bar, measures) for bar in line]
    if any(bar.melody for bar in line):
        space = staff_space(measures)
        clef = glyph_width(f"{measures.clef} clef", space) + 2.0
        rooms[0] += clef + abs(line[0].signature) * (glyph_width("sharp", space) + 0.2)
    return rooms


def _signature_room(bar: WrittenBar, measures: Measures) -> float:
    if not bar.change.meter:
        return 0.0
    space = SIGNATURE * measures.em
    return time_width(bar.meter.numerator, bar.meter.denominator, space) + AFTER_SIGNATURE


def signature_marks(cell: BarCell, middle: float, measures: Measures) -> list[Mark]:
    """The time signature of a bar, its middle at a height in mm."""
    if not cell.bar.change.meter:
        return []
    space = SIGNATURE * measures.em
    left = cell.first_beat - _signature_room(cell.bar, measures)
    return time_marks(left, middle, cell.bar.meter.numerator, cell.bar.meter.denominator, space)
