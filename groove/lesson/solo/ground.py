"""The ground of a solo: bars, chords and beats, in ticks from the first bar line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise

from groove.form.chart import Bar
from groove.form.harmony import timed_slots
from groove.form.model import Form
from groove.form.unroll import unroll
from groove.lesson.line import LineBar
from groove.rhythm.meter import TICKS_PER_QUARTER, Meter
from groove.theory.chords import Chord
from groove.theory.functions import Harmony, TimedChord, local_harmonies, read_harmony
from groove.theory.keys import Key


@dataclass(frozen=True, slots=True)
class ChordChange:
    """A chord and the harmony that it stands in. start, end: in ticks."""

    start: int
    end: int
    chord: Chord
    local: Harmony


@dataclass(frozen=True)
class SoloGround:
    """A round of the chart, as a soloist needs it.

    bars: of the round; played: the same in the chart. silent: ticks between which nothing is
    played: N.C., and bars that the drums have to themselves. harmonies: of each key of the round.
    """

    bars: tuple[LineBar, ...]
    played: tuple[Bar, ...]
    changes: tuple[ChordChange, ...]
    silent: tuple[tuple[int, int], ...]
    harmonies: dict[Key, Harmony]

    @property
    def key(self) -> Key:
        """The key of the first bar."""
        return self.bars[0].key

    @property
    def end(self) -> int:
        """The tick at which the last bar ends."""
        return self.bars[-1].end

    def change_at(self, tick: int) -> ChordChange:
        """The chord at a time; the last one after the end."""
        return next(
            (c for c in self.changes[self._index(tick) :] if tick < c.end), self.changes[-1]
        )

    def _index(self, tick: int) -> int:
        bar = min(max(tick, 0) * len(self.bars) // max(self.end, 1), len(self.bars) - 1)
        while bar and self.bars[bar].start > tick:
            bar -= 1
        return self._first[bar]

    @cached_property
    def _first(self) -> list[int]:
        """The change that sounds at the start of each bar."""
        found, index = [], 0
        for bar in self.bars:
            while self.changes[index].end <= bar.start:
                index += 1
            found.append(index)
        return found

    @cached_property
    def starts(self) -> frozenset[int]:
        """The ticks at which chords change."""
        return frozenset(change.start for change in self.changes)

    def is_silent(self, tick: int) -> bool:
        """True where nothing is played."""
        return any(start <= tick < end for start, end in self.silent)

    def seconds(self, index: int) -> float:
        """The seconds of a tick in a bar."""
        return 60 / self.played[index].setting.rate


@lru_cache(maxsize=4)  # solo, answers, licks and lines of one sheet stand on the same ground
def ground_of(form: Form, number: int) -> SoloGround:
    """The ground of one round of a form's chart, counted from 0."""
    chart = unroll(form)
    time = chart.rounds[min(number, len(chart.rounds) - 1)]
    played = chart.bars[time.first : time.last]
    begin = played[0].start
    silent = [
        (slot.start - begin, slot.end - begin)
        for bar in played
        for slot in bar.slots
        if slot.silent
    ]
    silent += [(bar.start - begin, bar.end - begin) for bar in played if bar.drums_alone]
    several = len({bar.section for bar in played}) > 1
    harmonies: dict[Key, Harmony] = {}
    changes: list[ChordChange] = []
    for bars in _by_key(played):
        slots = [slot for bar in bars for slot in bar.slots]
        timed = timed_slots(bars, slots)
        key = bars[0].key
        harmonies.setdefault(key, read_harmony(timed, key))
        changes += _changes(bars, timed, harmonies[key], begin)
    return SoloGround(
        tuple(line_bar(bar, begin, named=several) for bar in played),
        tuple(played),
        tuple(changes),
        tuple(silent),
        harmonies,
    )


def _by_key(played: Sequence[Bar]) -> list[list[Bar]]:
    groups: list[list[Bar]] = []
    for bar in played:
        if groups and groups[-1][-1].key == bar.key:
            groups[-1].append(bar)
        else:
            groups.append([bar])
    return groups


def _changes(
    bars: Sequence[Bar], timed: Sequence[TimedChord], harmony: Harmony, begin: int
) -> list[ChordChange]:
    found: list[ChordChange] = []
    locals_ = list(local_harmonies(timed, harmony))
    place = -1
    for bar in bars:
        for slot in bar.slots:
            start, end = max(slot.start, bar.start) - begin, min(slot.end, bar.end) - begin
            if found and found[-1].chord == slot.chord:
                last = found.pop()
                found.append(ChordChange(last.start, end, last.chord, last.local))
                continue
            place += 1
            found.append(ChordChange(start, end, slot.chord, locals_[min(place, len(locals_) - 1)]))
    return found


def line_bar(bar: Bar, begin: int, *, named: bool) -> LineBar:
    """A bar of the chart as lines have it. named: whether the form has several sections."""
    chords: list[tuple[int, Chord]] = []
    for slot in bar.slots:
        if not chords or chords[-1][1] != slot.chord:
            chords.append((max(slot.start - bar.start, 0), slot.chord))
    straight = bar.setting.feel == "straight"
    section = bar.section if named and bar.in_section == 1 else ""
    start = bar.start - begin
    return LineBar(start, bar.length, bar.meter, bar.key, tuple(chords), straight, section)


def pulses_of(meter: Meter) -> list[tuple[int, int, int]]:
    """The beats that phrases are counted in: start and length in ticks, and in how many parts they
    go at the least: dotted quarters in compound metres, groups in 5/8 and 7/8, else quarters."""
    if meter.is_compound:
        return [
            (start, meter.beat_ticks, 3) for start in range(0, meter.bar_ticks, meter.beat_ticks)
        ]
    if meter.is_uneven:
        return [
            (start, end - start, (end - start) // meter.unit_ticks)
            for start, end in pairwise((*meter.group_starts, meter.bar_ticks))
        ]
    return [(start, TICKS_PER_QUARTER, 2) for start in range(0, meter.bar_ticks, TICKS_PER_QUARTER)]
