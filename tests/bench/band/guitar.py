"""Comping on the guitar: how the hand moves, open strings, the top note, the strums."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import pairwise
from statistics import fmean
from typing import Any

from groove import library
from groove.band.guitar.capo import capo_of
from groove.band.guitar.shape_library import group
from groove.band.part import COMPING, GridNote
from groove.rhythm.patterns import CompingPattern
from tests.bench.band.comping import at_changes
from tests.bench.band.performance import (
    Performance,
    chordal_performances,
)
from tests.bench.band.table import Figure, Row, share

TRAVEL = 4  # frets
OPEN = ("strum-guitar", "six-eight-guitar", "nine-eight-guitar", "waltz-guitar")
"""Guitars of country and folk, which play open chords."""
KEYS = ("C", "G", "Eb")


def rows(names: Sequence[str], seeds: int, fields: dict[str, Any]) -> list[Row]:
    """A row for each comping pattern on the guitar, in three keys, over a blues and a song."""
    found = []
    usual = {"choruses": 2} | fields
    for pattern, takes in chordal_performances("guitar", names, seeds, usual, keys=KEYS):
        found.append(Row(pattern.name, tuple(_figures(pattern, takes))))
    return found


def _figures(pattern: CompingPattern, takes: list[Performance]) -> Iterator[Figure]:
    strokes = [notes for take in takes for _, notes in take.strokes(COMPING) if len(notes) > 2]
    known = [
        is_known(capo, notes)
        for take in takes
        for capo in [capo_of(take.chart, COMPING)]
        for _, notes in take.strokes(COMPING)
    ]
    yield Figure("in library", fmean(known), 0.9)
    travel = [far for take in takes for far in travels(take)]
    yield Figure("travel", fmean(far <= TRAVEL for far in travel) if travel else None, 0.9)
    open_strings = [
        any(note.fret == take.parts[COMPING].capo for note in notes)
        for take in takes
        for _, notes in take.strokes(COMPING)
        if len(notes) > 2
    ]
    yield Figure("open", fmean(open_strings) if open_strings else None,
                 0.7 if pattern.name in OPEN else None)  # fmt: skip
    close = [_is_close_seventh(notes) for notes in strokes]
    yield Figure("close sevenths", share(sum(close), len(close)), None, 0.0)
    new = [count for take in takes for count in new_tops(take)]
    yield Figure("new tops", share(sum(count > 1 for count in new), len(new)), None, 0.1)
    near = [abs(a - b) <= 4 for take in takes for a, b in at_changes(take)]
    yield Figure("near", fmean(near) if near else None, 0.8)
    sizes = [len(notes) for take in takes for _, notes in take.strokes(COMPING)]
    yield Figure("notes", fmean(sizes), form="{:.1f}")
    shapes = [frozenset((n.string, n.fret) for n in notes) for notes in strokes]
    yield Figure("shapes", len(set(shapes)), form="{:.0f}")
    again = [a != b for a, b in pairwise(len(shape) for shape in shapes)]
    yield Figure("range varies", fmean(again) if again else None)


def is_known(capo: int, notes: Sequence[GridNote]) -> bool:
    """True if the strings that sound are held as in a shape of the library, up the neck where it
    moves, counted from the capo where it doesn't."""
    return _is_shape(frozenset((note.string, note.fret) for note in notes), capo)


@cache
def _is_shape(places: frozenset[tuple[int, int]], capo: int) -> bool:
    return any(
        places <= {(string, fret + by) for string, fret in shape}
        for shape, movable in shapes()
        for by in (range(-3, 16) if movable else (capo,))
    )


@cache
def shapes() -> list[tuple[frozenset[tuple[int, int]], bool]]:
    """String and fret of the notes of each shape of the library, and whether it moves."""
    return [
        (frozenset(zip(shape.strings, shape.frets, strict=True)), found.movable)
        for found in map(group, library.names("guitar"))
        for shape in found.shapes
    ]


def position(notes: Sequence[GridNote]) -> int | None:
    """The lowest fret that is pressed; None where only open strings sound."""
    return min((note.fret for note in notes if note.fret > 0), default=None)


def travels(take: Performance) -> Iterator[int]:
    """The frets that the hand moves at each change."""
    strokes = take.strokes(COMPING)
    for slot in take.changes:
        before = [notes for tick, notes in strokes if tick < slot.start]
        after = [notes for tick, notes in strokes if slot.start <= tick < slot.end]
        if before and after:
            here, there = position(before[-1]), position(after[0])
            if here is not None and there is not None:
                yield abs(here - there)


def new_tops(take: Performance) -> Iterator[int]:
    """For each bar, the number of times that the top note of strummed chords changes within one;
    figures on two strings and single strings are lines, which move."""
    tops: dict[int, list[int]] = defaultdict(list)
    for tick, notes in take.strokes(COMPING):
        if len(notes) > 2:
            tops[take.chart.bar_at(tick).start].append(max(note.pitch for note in notes))
    for bar in take.bars:
        if len(bar.slots) == 1 and tops[bar.start]:
            yield sum(a != b for a, b in pairwise(tops[bar.start]))


def _is_close_seventh(notes: Sequence[GridNote]) -> bool:
    """Four different notes within an octave, on neighbouring places of the chord: a stretch."""
    pitches = sorted({note.pitch for note in notes})
    return len(pitches) == 4 and pitches[-1] - pitches[0] < 12 and all(
        there - here >= 2 for here, there in pairwise(pitches)
    ) and pitches[-1] - pitches[0] >= 9  # fmt: skip
