"""Horizontal room of a line of notes: systems of up to four bars, and where each column stands.

Longer notes get more room, but less than in proportion (common engraving practice): a power of
their length. No column comes nearer to its neighbour than its accidentals, dots, flags and fret
numbers let it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from groove.handout.drawing.chord_symbol import chord_width
from groove.handout.drawing.page import glyph_width, text_width
from groove.handout.drawing.staff.clefs import clef_width, key_width, time_width
from groove.handout.drawing.staff.rhythm import FLAGS, QUARTER, beamed
from groove.handout.drawing.staff.stems import head_name
from groove.handout.drawing.staff.written import Clef, NoteColumn, StaffBar
from groove.handout.drawing.tab import SIZE as FRET_SIZE
from groove.instrument.fretboard import Tuning
from groove.lesson.line import SLIDE
from groove.rhythm.meter import Meter
from groove.theory.symbols import symbol

ACROSS = 4  # bars of a system, where they fit
SPACE = 1.55  # mm between two staff lines
POWER = 0.6  # of a note's length, for its room
GAP, SIGN_GAP = 0.9, 0.3  # mm: between two columns at least, and from an accidental to its head
PAD = 1.4  # mm from a bar line to the first column, and from a signature to what follows
CLEF_PAD = 0.8  # mm before a clef
CHORD_SIZE, CHORD_GAP = 13.8, 1.6  # points, mm
BEND, RELEASE, SLIDE_ROOM = 4.4, 3.4, 2.4  # mm beside a fret number
NARROWEST_BAR = 9.0  # mm
CLOSE_SIGNS = 6  # steps: two accidentals that are nearer stand beside each other


@dataclass(frozen=True, slots=True)
class ColumnPlace:
    """A column where it stands. x: the left edge of its heads in mm; wide: that of a head."""

    column: NoteColumn
    x: float
    wide: float

    @property
    def middle(self) -> float:
        """The middle of its heads, where its fret numbers stand."""
        return self.x + self.wide / 2


@dataclass(frozen=True, slots=True)
class StaffCell:
    """A bar of a system: its left and right bar lines, where its signatures and its columns begin,
    in mm. key, meter: whether its signature, and its time signature, stand in it."""

    staff_bar: StaffBar
    left: float
    right: float
    signatures: float
    places: tuple[ColumnPlace, ...]
    key_before: int | None
    meter: bool

    def at(self, tick: int) -> float:
        """The place of a tick of the bar, in mm: between columns in proportion."""
        begins = [place.column.note.start for place in self.places]
        ends = [*begins[1:], self.staff_bar.bar.length]
        xs = [place.x for place in self.places]
        for start, end, left, right in zip(begins, ends, xs, [*xs[1:], self.right], strict=True):
            if start <= tick < end:
                return left + (right - left) * (tick - start) / (end - start)
        return xs[0]


@dataclass(frozen=True, slots=True)
class Spaced:
    """The room of a column in mm: what it needs left of its heads and right of their left edge,
    and how far apart it and the next stand at least."""

    column: NoteColumn
    wide: float
    left: float
    right: float
    least: float


def systems(
    bars: Sequence[StaffBar], width: float, clef: Clef, tuning: Tuning | None
) -> list[tuple[StaffBar, ...]]:
    """The bars in systems of four, counted from the first full bar, where they fit a width in mm;
    in systems of two, or one by one, where they don't. A pick-up stands before the first."""
    first = [bar for bar in bars if bar.number <= 1]
    groups: list[list[StaffBar]] = [first] if first else []
    for bar in bars[len(first) :]:
        if (bar.number - 1) % ACROSS == 0 or not groups:
            groups.append([])
        groups[-1].append(bar)
    found: list[tuple[StaffBar, ...]] = []
    for group in groups:
        found += _fitting(tuple(group), width, clef, tuning, bool(found))
    return found


def _fitting(
    group: tuple[StaffBar, ...], width: float, clef: Clef, tuning: Tuning | None, later: bool
) -> list[tuple[StaffBar, ...]]:
    if len(group) == 1 or least_width(group, clef, tuning, later) <= width:
        return [group]
    pick_up = sum(bar.number <= 0 for bar in group)
    half = min(max((len(group) - pick_up + 1) // 2 + pick_up, 1), len(group) - 1)
    first = _fitting(group[:half], width, clef, tuning, later)
    return first + _fitting(group[half:], width, clef, tuning, True)


def least_width(group: Sequence[StaffBar], clef: Clef, tuning: Tuning | None, later: bool) -> float:
    """The least width of a system in mm; later: whether it is not the first."""
    total = system_head(group[0], clef, tuning, first=not later)
    for number, bar in enumerate(group):
        before = group[number - 1] if number else None
        total += _bar_head(bar, before) + sum(s.least for s in _spaced(bar, tuning))
    return total


def system_head(bar: StaffBar, clef: Clef, tuning: Tuning | None, *, first: bool) -> float:
    """The room of clef and signatures at the beginning of a system, in mm."""
    room = CLEF_PAD + clef_width(clef.name, SPACE) + PAD
    room += key_width(bar.bar.key.signature, SPACE)
    if first:
        room += 0.8 + time_width(bar.bar.meter.numerator, bar.bar.meter.denominator, SPACE)
    return room + 0.4


def _bar_head(bar: StaffBar, before: StaffBar | None) -> float:
    """The room of the signatures in a bar and of the pad after its bar line, in mm."""
    if before is None:
        return PAD
    room = PAD
    key, old = bar.bar.key.signature, before.bar.key.signature
    if key != old:
        room += key_width(old if key == 0 else key, SPACE, natural=key == 0) + 0.6
    if new_meter(bar, before):
        room += time_width(bar.bar.meter.numerator, bar.bar.meter.denominator, SPACE) + PAD
    return room


def new_meter(bar: StaffBar, before: StaffBar) -> bool:
    """True if the time signature changes with a bar."""
    return str(bar.bar.meter) != str(before.bar.meter)


def spaced_system(
    group: Sequence[StaffBar],
    width: float,
    clef: Clef,
    tuning: Tuning | None,
    *,
    before: StaffBar | None,
    full: bool = True,
) -> tuple[StaffCell, ...]:
    """The bars of a system with each column at its place; before: the bar before the system.

    full: whether the system is as wide as it may be, else only as its bars ask.
    """
    later = before is not None
    head = system_head(group[0], clef, tuning, first=not later)
    if before is not None and new_meter(group[0], before):
        meter = group[0].bar.meter
        head += time_width(meter.numerator, meter.denominator, SPACE) + 0.8
    heads = [_bar_head(bar, group[n - 1] if n else None) for n, bar in enumerate(group)]
    columns = [_spaced(bar, tuning) for bar in group]
    room = width - head - sum(heads)
    advances = _advances([s for bar in columns for s in bar], room, full=full)
    cells: list[StaffCell] = []
    left, number = 0.0, 0
    for index, (bar, spaced, lead) in enumerate(zip(group, columns, heads, strict=True)):
        x = left + (head if index == 0 else 0.0) + lead
        places = []
        x += spaced[0].left
        for one in spaced:
            places.append(ColumnPlace(one.column, x, one.wide))
            x += advances[number]
            number += 1
        right = x - spaced[0].left
        previous = group[index - 1] if index else None
        key = previous.bar.key.signature if previous else None
        key = key if key is not None and key != bar.bar.key.signature else None
        meter_here = previous is not None and new_meter(bar, previous)
        cells.append(StaffCell(bar, left, right, left + PAD * 0.6, tuple(places), key, meter_here))
        left = right
    return tuple(cells)


def _advances(spaced: Sequence[Spaced], room: float, *, full: bool) -> list[float]:
    """The distance of each column from the next: a power of its length, no less than its least."""
    natural: list[float] = [pow(one.column.note.length / QUARTER, POWER) for one in spaced]
    least = [one.least for one in spaced]

    def total(scale: float) -> float:
        return sum(max(scale * n, m) for n, m in zip(natural, least, strict=True))

    if sum(least) >= room:  # a single bar that is too full: closer than it should be
        return [each * room / sum(least) for each in least]
    low, high = 0.0, room / min(natural)
    if not full:
        high = 14.0  # mm for a quarter note
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if total(middle) <= room else (low, middle)
    return [max(low * n, m) for n, m in zip(natural, least, strict=True)]


def _spaced(bar: StaffBar, tuning: Tuning | None) -> list[Spaced]:
    """The columns of a bar with the room that they need."""
    meter = bar.bar.meter
    alone = _with_flags(bar, meter)
    sizes = [_sides(column, tuning, flag=id(column) in alone) for column in bar.columns]
    found = []
    for number, (column, (wide, left, right)) in enumerate(zip(bar.columns, sizes, strict=True)):
        after = sizes[number + 1][1] if number + 1 < len(sizes) else sizes[0][1] + GAP
        following = bar.columns[number + 1] if number + 1 < len(bar.columns) else None
        slides = following and any(
            head.note.joined == SLIDE and not head.tied for head in following.heads
        )
        least = right + GAP + after + (SLIDE_ROOM if slides and tuning else 0.0)
        found.append(Spaced(column, wide, left, right, least))
    return _wide_enough(found, bar)


def _with_flags(bar: StaffBar, meter: Meter) -> set[int]:
    """The columns, by identity, whose stem has flags of its own."""
    groups = beamed([column.note for column in bar.columns], meter)
    single = {group[0].start for group in groups if len(group) == 1}
    return {
        id(column)
        for column in bar.columns
        if column.heads and column.note.start in single and column.note.value[0] in FLAGS
    }


def _sides(column: NoteColumn, tuning: Tuning | None, *, flag: bool) -> tuple[float, float, float]:
    """The width of a head of a column, and the room left of it and right of its left edge."""
    value, count = column.note.value
    if not column.heads:
        wide = glyph_width(f"{value} rest", SPACE)
        return wide, 0.0, wide
    wide = glyph_width(head_name(value), SPACE)
    steps = [head.step for head in column.heads]
    second = any(b - a <= 1 for a, b in pairwise(steps))
    left, right = (wide if second else 0.0), wide * (2 if second else 1)
    signs = [head for head in column.heads if head.sign]
    if signs:
        signed = max(glyph_width(head.sign, SPACE) for head in signs) + SIGN_GAP
        beside = len(signs) > 1 and signs[-1].step - signs[0].step < CLOSE_SIGNS
        left += signed * (2 if beside else 1)
    right += (0.6 * count + 0.3) * SPACE if count else 0.0
    right += glyph_width("eighth flag", SPACE) * 0.8 if flag else 0.0
    if tuning:
        frets = [
            fret_text(head.note.place.fret, head.tied) for head in column.heads if head.note.place
        ]
        number = max((text_width(text, FRET_SIZE, "bold") for text in frets), default=0.0) + 0.6
        left, right = max(left, (number - wide) / 2), max(right, (number + wide) / 2)
        bent = [head for head in column.heads if head.note.bend and not head.tied]
        if bent:
            released = any(head.note.release for head in bent)
            right = max(right, (number + wide) / 2 + BEND + (RELEASE if released else 0.0))
    return wide, left, right


def fret_text(fret: int, tied: bool) -> str:
    """A fret as it stands in tablature, in brackets where the note goes on from the one before."""
    return f"({fret})" if tied else str(fret)


def _wide_enough(spaced: list[Spaced], bar: StaffBar) -> list[Spaced]:
    """The columns with room for the chord symbols over them, and for the bar itself."""
    total = sum(one.least for one in spaced)
    scale = max(1.0, NARROWEST_BAR / total) if bar.number > 0 else 1.0
    least = [one.least * scale for one in spaced]
    ends = [one.column.note.end for one in spaced]
    chords = [*bar.chords]
    starts = [at for at, _ in chords]
    for (at, chord), until in zip(chords, [*starts[1:], bar.bar.length], strict=False):
        need = chord_width(symbol(chord), CHORD_SIZE) + CHORD_GAP
        shares = [
            max(0, min(end, until) - max(one.column.note.start, at)) / one.column.note.length
            for one, end in zip(spaced, ends, strict=True)
        ]
        given = sum(share * each for share, each in zip(shares, least, strict=True))
        if 0 < given < need:
            least = [
                each * (need / given if share else 1.0)
                for share, each in zip(shares, least, strict=True)
            ]
    return [
        Spaced(one.column, one.wide, one.left, one.right, each)
        for one, each in zip(spaced, least, strict=True)
    ]
