"""Performances to measure: a form of twelve bars played by the band of a drum pattern, many times.

A performance holds the chart and the parts on the grid; the take, with feel and touch, is made
where a figure needs it.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

from groove import library
from groove.band.part import BASS, COMPING, DRUMS, GridNote, Part
from groove.band.plan.plan import Plan
from groove.band.plan.planner import planned
from groove.band.take import Take, play, record
from groove.form.chart import Bar, Chart, Slot
from groove.form.model import Form
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.rhythm.patterns import READERS, CompingPattern, DrumPattern, Pattern

BLUES = "I7:4 IV7:2 I7:2 V7 IV7 I7:2"
SONG = "I:2 vi:2 IV iii ii7:2 vi iii7 IV V7"  # its minor chords show notes outside the key
CHORUSES = 10
SEEDS = 5
PITCHED = (BASS, COMPING)

Content = frozenset[tuple[int, int]]  # ticks into the bar and MIDI pitch of each note that begins


@dataclass(frozen=True)
class Performance:
    """A form with everything that the band makes of it."""

    form: Form

    @cached_property
    def plan(self) -> Plan:
        """The plan of the performance."""
        return planned(unroll(self.form))

    @property
    def chart(self) -> Chart:
        """The chart as it is performed."""
        return self.plan.chart

    @cached_property
    def parts(self) -> dict[str, Part]:
        """The parts on the grid, by name."""
        return {part.name: part for part in play(self.plan)}

    @cached_property
    def take(self) -> Take:
        """The take, with feel and touch."""
        return record(self.plan, tuple(self.parts.values()))

    @property
    def fills(self) -> list[tuple[int, int]]:
        """Start and end of each fill that takes the groove's place, in ticks."""
        return list(self.parts[DRUMS].fills)

    @property
    def filled(self) -> list[tuple[Bar, int | None]]:
        """The bars of the choruses and the beats of the fill at the end of each: None for no
        fill, 0 for a gesture over the groove."""
        return [
            (bar, planned.fill)
            for bar, planned in zip(self.chart.bars, self.plan.bars, strict=True)
            if bar.number
        ]

    @property
    def bars(self) -> list[Bar]:
        """The bars of all choruses, without the ending's."""
        return [bar for bar in self.chart.bars if bar.number]

    @property
    def changes(self) -> list[Slot]:
        """The chords that follow another one, at their written places."""
        slots = self.chart.changes
        return [
            after
            for before, after in pairwise(slots)
            if after.chord != before.chord and self.chart.bar_at(after.written_start).number
        ]

    def during(self, part: str, start: int, end: int) -> list[GridNote]:
        """The notes of a part that begin in a stretch of time."""
        starts = self._starts[part]
        return list(self.parts[part].notes[bisect_left(starts, start) : bisect_left(starts, end)])

    def content(self, part: str, bar: Bar) -> Content:
        """Place and pitch of each note of a part that begins in a bar."""
        notes = self.during(part, bar.start, bar.end)
        return frozenset((note.start - bar.start, note.pitch) for note in notes)

    def onsets(self, part: str, bar: Bar) -> frozenset[int]:
        """The places in a bar at which a part begins a note, in ticks from its start."""
        notes = self.during(part, bar.start, bar.end)
        return frozenset(note.start - bar.start for note in notes)

    def strokes(self, part: str) -> list[tuple[int, list[GridNote]]]:
        """The notes of a part in the choruses that begin together, with their tick."""
        found: dict[int, list[GridNote]] = defaultdict(list)
        for note in self.during(part, self.chart.start, self.bars[-1].end):
            found[note.start].append(note)
        return sorted(found.items())

    @cached_property
    def _starts(self) -> dict[str, list[int]]:
        return {name: [note.start for note in part.notes] for name, part in self.parts.items()}


def performances(
    drums: str, seeds: int = SEEDS, chords: str = BLUES, **fields: Any
) -> Iterator[Performance]:
    """A drum pattern with its own bass and comping, unless fields name others, seed by seed."""
    for seed in range(1, seeds + 1):
        given = {"choruses": CHORUSES, "chords": chords, "drums": drums, "seed": seed} | fields
        yield Performance(read_form("twelve-bar", **given))


def patterns(kind: str, names: Sequence[str] = ()) -> list[Pattern]:
    """All patterns of a kind, or those that are named."""
    return [READERS[kind](name) for name in library.names(kind) if not names or name in names]


def drums_for(kind: str, pattern: Pattern) -> str:
    """The drum pattern that a bass or comping pattern is played to.

    The first that asks for it; for one that no drum pattern asks for, the first that asks for a
    pattern of its metre, feel and grid.
    """
    every = [found for found in patterns("drums") if isinstance(found, DrumPattern)]
    asking = [drums for drums in every if getattr(drums, kind) == pattern.name]
    alike = [drums for drums in every if drums.grid == pattern.grid]
    near = [drums for drums in every if drums.grid.meter == pattern.grid.meter]
    fitting = [drums for drums in near if pattern.grid.takes(drums.grid.feel)]
    return (asking or alike or fitting or near)[0].name


def chordal_performances(
    voicing: str,
    names: Sequence[str],
    seeds: int,
    fields: dict[str, Any],
    keys: Sequence[str] = ("C",),
) -> Iterator[tuple[CompingPattern, list[Performance]]]:
    """Each comping pattern of a guitar or of keys, with a blues and a song in some keys."""
    for pattern in patterns("comping", names):
        assert isinstance(pattern, CompingPattern)
        if pattern.voicing != voicing:
            continue
        drums = drums_for("comping", pattern)
        yield (
            pattern,
            [
                take
                for chords in (BLUES, SONG)
                for key in keys
                for take in performances(
                    drums, seeds, chords, **{"comping": pattern.name, "key": key} | fields
                )
            ],
        )
