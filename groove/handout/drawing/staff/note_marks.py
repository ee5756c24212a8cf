"""The notes of a system on its staff: heads, rests, stems, beams, triplets, ties and slurs.

Heights are in mm from the middle line, downwards. Common engraving practice: the note furthest
from the middle line turns the stem; a beam leans by less than a space; ties and slurs stand on the
side of the heads; a triplet has a bracket unless one beam joins it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from groove.handout.drawing.page import (
    MEDIUM,
    SMALLEST,
    Glyph,
    Line,
    Mark,
    Text,
    glyph_width,
    text_width,
)
from groove.handout.drawing.staff.rhythm import FLAGS, beamed
from groove.handout.drawing.staff.spacing import (
    CLOSE_SIGNS,
    SIGN_GAP,
    SPACE,
    ColumnPlace,
    StaffCell,
)
from groove.handout.drawing.staff.stems import (
    FLAG_NAMES,
    beams,
    dots,
    head_name,
    ledgers,
    slur,
)
from groove.handout.drawing.staff.written import Head, joined_from
from groove.lesson.line import SLIDE

STEM, LEAST_STEM, MORE = 3.5, 2.8, 0.5  # spaces: of a stem, at least under a beam, for 16ths
LEAN, LEAN_SHARE = 0.8, 0.2  # spaces that a beam leans at most, and of its length
BRACKET, HOOK = 0.9, 0.6  # spaces: from the stems to a triplet's bracket, and its hooks
OVER_EDGE = 2.4  # mm that a tie goes over the beginning of a system
HALF_STEP = SPACE / 2


@dataclass(frozen=True, slots=True)
class Stem:
    """A stem: whether it goes up, its x, and where it ends."""

    up: bool
    x: float
    end: float


def note_marks(cells: Sequence[StaffCell]) -> list[Mark]:
    """The notes and rests of a system."""
    stems: dict[int, Stem] = {}
    marks: list[Mark] = []
    for cell in cells:
        marks += _stems(cell, stems)
    for cell in cells:
        for place in cell.places:
            if place.column.heads:
                marks += _heads(place, stems[id(place)].up)
            else:
                marks.append(_rest(place, cell))
        marks += _triplets(cell, stems)
    return marks + _joins(cells, stems)


def _rest(place: ColumnPlace, cell: StaffCell) -> Glyph:
    note = place.column.note
    name = note.value[0]
    up = SPACE if name == "whole" else 0.0
    if note.whole_bar:
        return Glyph((place.x + cell.right) / 2, -up, "whole rest", SPACE, "middle")
    return Glyph(place.x, -up, f"{name} rest", SPACE)


def _heads(place: ColumnPlace, up: bool) -> list[Mark]:
    """The heads of a column with their accidentals, dots and ledger lines."""
    column, wide = place.column, place.wide
    name, count = column.note.value
    shifts = _shifts(column.heads, wide, up)
    right = place.x + wide + max(0.0, *shifts)
    marks: list[Mark] = []
    signed: list[tuple[Head, float]] = []
    for head, shift in zip(column.heads, shifts, strict=True):
        x, y = place.x + shift, -head.step * HALF_STEP
        marks.append(Glyph(x, y, head_name(name), SPACE))
        marks += dots(right, y, count, SPACE, step=head.step)
        marks += ledgers(x, wide, head.step, 0.0, SPACE)
        if head.sign:
            signed.append((head, y))
    left = place.x + min(0.0, *shifts) - SIGN_GAP
    at: dict[Head, float] = {}
    for head, y in reversed(signed):
        close = [other for other in at if other.step - head.step < CLOSE_SIGNS]
        x = min((at[other] for other in close), default=left) - glyph_width(head.sign, SPACE)
        at[head] = x - SIGN_GAP * bool(close)
        marks.append(Glyph(at[head], y, head.sign, SPACE))
    return marks


def _shifts(heads: Sequence[Head], wide: float, up: bool) -> list[float]:
    """The distance of heads a second apart from the others, on the other side of the stem."""
    shifts = [0.0] * len(heads)
    order = range(1, len(heads)) if up else range(len(heads) - 2, -1, -1)
    for number in order:
        other = number - 1 if up else number + 1
        if abs(heads[number].step - heads[other].step) <= 1 and not shifts[other]:
            shifts[number] = (wide - MEDIUM) if up else -(wide - MEDIUM)
    return shifts


def _stems(cell: StaffCell, stems: dict[int, Stem]) -> list[Mark]:
    """The stems, flags and beams of a bar; sets the stem of each column by identity."""
    by_start = {place.column.note.start: place for place in cell.places if place.column.heads}
    marks: list[Mark] = []
    for place in by_start.values():  # whole notes: the side that a stem would have
        stems[id(place)] = Stem(
            _goes_up([place]), place.middle, -place.column.heads[-1].step * HALF_STEP
        )
    for group in beamed([place.column.note for place in cell.places], cell.staff_bar.bar.meter):
        places = [by_start[note.start] for note in group]
        up = _goes_up(places)
        found = _ends(places, up)
        for place, stem in zip(places, found, strict=True):
            stems[id(place)] = stem
            root = place.column.heads[0 if up else -1]
            marks.append(Line(stem.x, -root.step * HALF_STEP, stem.x, stem.end, MEDIUM))
        flags = [FLAGS.get(note.value[0], 0) for note in group]
        if len(group) > 1:
            ends = [(stem.x, stem.end) for stem in found]
            marks += beams(ends, flags, SPACE, way=1 if up else -1)
        elif flags[0]:
            name = FLAG_NAMES[flags[0]] + ("" if up else " down")
            marks.append(Glyph(found[0].x - MEDIUM / 2, found[0].end, name, SPACE))
    return marks


def _goes_up(places: Sequence[ColumnPlace]) -> bool:
    """True if the stems of a group go up: its furthest note lies below the middle line."""
    steps = [head.step for place in places for head in place.column.heads]
    return max(steps) + min(steps) < 0


def _ends(places: Sequence[ColumnPlace], up: bool) -> list[Stem]:
    """The stems of a group, all ending on one line that leans a little."""
    way = -1 if up else 1
    xs = [place.x + (place.wide - MEDIUM / 2 if up else MEDIUM / 2) for place in places]
    outer = [-place.column.heads[-1 if up else 0].step * HALF_STEP for place in places]
    sixteenths = any(place.column.note.value[0] == "16th" for place in places)
    high = (STEM + MORE * sixteenths) * SPACE
    ideal = [y + way * high for y in outer]
    ideal = [min(y, 0.0) if up else max(y, 0.0) for y in ideal]  # up to the middle line
    if len(places) == 1:
        return [Stem(up, xs[0], ideal[0])]
    lean = outer[-1] - outer[0]
    most = min(LEAN * SPACE, LEAN_SHARE * (xs[-1] - xs[0]))
    inner = outer[1:-1]
    furthest = [way * y for y in inner]
    concave = inner and max(furthest) > max(way * outer[0], way * outer[-1])
    slope = 0.0 if concave else max(-most, min(most, lean)) / (xs[-1] - xs[0])
    slack = (STEM - LEAST_STEM) * SPACE
    starts = [y - slope * (x - xs[0]) for x, y in zip(xs, ideal, strict=True)]
    level = min(starts) + slack if up else max(starts) - slack
    first = min(level, starts[0]) if up else max(level, starts[0])
    return [Stem(up, x, first + slope * (x - xs[0])) for x in xs]


def _triplets(cell: StaffCell, stems: dict[int, Stem]) -> list[Mark]:
    """The figure, and the bracket where no beam joins it, of each beat in thirds."""
    meter = cell.staff_bar.bar.meter
    marks: list[Mark] = []
    whole = [tuple(group) for group in beamed([p.column.note for p in cell.places], meter)]
    triplet = [place for place in cell.places if place.column.note.triplet]
    for _, found in groupby(triplet, key=lambda place: meter.beat_at(place.column.note.start)[0]):
        places = list(found)
        joined = tuple(place.column.note for place in places) in whole and len(places) > 1
        marks += _triplet(places, stems, bracket=not joined)
    return marks


def _triplet(places: Sequence[ColumnPlace], stems: dict[int, Stem], *, bracket: bool) -> list[Mark]:
    found = [stems[id(place)] for place in places if place.column.heads]
    below = bool(found) and not any(stem.up for stem in found)
    way = 1 if below else -1
    far = [stem.end for stem in found] + [
        -head.step * HALF_STEP + way * 0.5 * SPACE
        for place in places
        for head in place.column.heads
    ]
    far += [way * 1.6 * SPACE]  # clear of rests
    edge = (max(far) if below else min(far)) + way * (BRACKET if bracket else 0.35) * SPACE
    left, right = places[0].x, places[-1].x + places[-1].wide
    middle = (left + right) / 2
    high = SMALLEST * 0.25  # mm: of a figure
    level = edge if bracket else edge + way * high / 2
    wide = text_width("3", SMALLEST, "italic")
    marks: list[Mark] = [Text(middle, level + high / 2, "3", SMALLEST, "italic", "middle")]
    if bracket:
        hook = level - way * HOOK * SPACE
        marks += [
            Line(left, level, middle - wide / 2 - 0.5, level),
            Line(middle + wide / 2 + 0.5, level, right, level),
            Line(left, hook, left, level),
            Line(right, hook, right, level),
        ]
    return marks


def _joins(cells: Sequence[StaffCell], stems: dict[int, Stem]) -> list[Mark]:
    """Ties, slurs of hammer-ons and pull-offs, and slides, from head to head."""
    left, right = cells[0].places[0].x, cells[-1].right
    places = [place for cell in cells for place in cell.places]
    marks: list[Mark] = []
    for number, place in enumerate(places):
        before = places[number - 1] if number else None
        after = places[number + 1] if number + 1 < len(places) else None
        for head in place.column.heads:
            y = -head.step * HALF_STEP
            over = _over(place, head, stems)
            off = (-0.75 if over else 0.75) * SPACE
            if head.ties:
                end = after.middle if after else right - 0.3
                marks.append(slur((place.middle, y + off), (end, y + off), SPACE, over=over))
            if head.tied and before is None:
                marks.append(
                    slur(
                        (place.middle - OVER_EDGE, y + off),
                        (place.middle, y + off),
                        SPACE,
                        over=over,
                    )
                )
            if head.note.joined and not head.tied:
                marks += _join(place, head, before, stems, left)
    return marks


def _over(place: ColumnPlace, head: Head, stems: dict[int, Stem]) -> bool:
    """True if a tie stands over its head: over the upper of two, else off the stem."""
    heads = place.column.heads
    if len(heads) > 1:
        return head is heads[-1]
    return not stems[id(place)].up


def _join(
    place: ColumnPlace, head: Head, before: ColumnPlace | None, stems: dict[int, Stem], left: float
) -> list[Mark]:
    """A slide as a line, a hammer-on or pull-off as a slur from the head before."""
    y = -head.step * HALF_STEP
    other = joined_from(head, before.column if before else None)
    if before is None or other is None:
        start, y1 = place.x - OVER_EDGE, y
    else:
        start, y1 = before.x, -other.step * HALF_STEP
    if head.note.joined == SLIDE:
        signed = glyph_width(head.sign, SPACE) + SIGN_GAP if head.sign else 0.0
        begin = start + (before.wide + 0.4 if before else 0.0)
        end = place.x - signed - 0.4
        slant = 0.0 if y1 != y else 0.5 * SPACE
        return [Line(begin, y1 + slant, end, y - slant, 0.25)] if end > begin + 0.5 else []
    over = (
        not stems[id(place)].up
        if before is None
        else not (stems[id(place)].up and stems[id(before)].up)
    )
    off = (-0.8 if over else 0.8) * SPACE
    begin = start + (before.wide / 2 if before else 0.0)
    return [slur((begin, y1 + off), (place.middle, y + off), SPACE, over=over)]
