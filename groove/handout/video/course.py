"""The course of a track in seconds: its bars, beats and chords as a video shows them."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

from groove.band.count_in import counted
from groove.form.chart import Chart, Slot

FRAMES_A_SECOND = 30


@dataclass(frozen=True, slots=True)
class Moment:
    """The state from a time on, in seconds from the start of the audio.

    bar: index into the chart's bars; -1 before the first one. beat: of the bar, from 0; before the
    first bar of the whole count-in, and -1 before that; parts of a beat that are counted in have
    moments of their own. chord: index into the course's chords, -1 before the first.
    """

    seconds: float
    bar: int
    beat: int
    chord: int


@dataclass(frozen=True)
class Course:
    """A chart with its times.

    chords: those of the pickup and of all bars in order where they are written; one that goes on
    over a bar line is one, at the top of a time round it is struck anew. moments: the last one
    from the end of the last bar on, while the sound dies away.
    """

    chart: Chart
    chords: tuple[Slot, ...]
    moments: tuple[Moment, ...]

    @classmethod
    def of(cls, chart: Chart) -> Course:
        """The course of a chart."""
        chords = _chords(chart)
        starts = [slot.start for slot in chords]
        ticks: dict[int, tuple[int, int]] = {0: (-1, -1)}
        meter = chart.bars[0].meter
        for number in range(chart.form.count_in):
            bar = chart.count_in + number * meter.bar_ticks
            clicks = counted(chart.bars[0].setting, chart.form.count_in - number)
            for into in sorted({*meter.beat_starts, *clicks}):
                ticks[bar + into] = -1, number * meter.beats + meter.beat_at(into)[0]
        for index, bar_ in enumerate(chart.bars):
            for beat, into in enumerate(bar_.meter.beat_starts):
                ticks[bar_.start + into] = index, beat
        lines = [bar_.start for bar_ in chart.bars]
        for start in starts:
            index = bisect_right(lines, start) - 1
            into = start - (lines[index] if index >= 0 else chart.count_in)
            bars, into = divmod(into, meter.bar_ticks) if index < 0 else (0, into)
            here = chart.bars[max(0, index)].meter
            ticks[start] = index, bars * meter.beats + here.beat_at(into)[0]
        ticks[chart.end] = len(chart.bars) - 1, chart.bars[-1].meter.beats - 1
        moments = tuple(
            Moment(chart.seconds(tick), bar, beat, bisect_right(starts, tick) - 1)
            for tick, (bar, beat) in sorted(ticks.items())
        )
        return cls(chart, chords, moments)

    def at(self, seconds: float) -> Moment:
        """The moment at a time in seconds from the start of the audio."""
        return self.moments[max(0, bisect_right(self._seconds, seconds) - 1)]

    def with_times(self, seconds: Iterable[float]) -> Course:
        """The course with moments at more times, each with the bar, beat and chord that are there,
        for views that change between beats."""
        more = {time: replace(self.at(time), seconds=time) for time in seconds if time >= 0}
        found = more | {moment.seconds: moment for moment in self.moments}
        return replace(self, moments=tuple(found[time] for time in sorted(found)))

    @cached_property
    def _seconds(self) -> list[float]:
        return [moment.seconds for moment in self.moments]


def _chords(chart: Chart) -> tuple[Slot, ...]:
    """The chords of all bars at their written places, those that go on joined."""
    tops = {time.start for time in chart.rounds} | {bar.start for bar in chart.ending[:1]}
    found = [slot for slot in chart.changes if slot.written_start < chart.start]
    for bar in chart.bars:
        for slot in bar.slots:
            last = found[-1] if found else None
            if last and slot.start not in tops and not slot.early and _alike(last, slot):
                found[-1] = Slot(
                    last.start, last.length + slot.length, last.chord, last.early,
                    last.silent, last.root_only, last.pedal,
                )  # fmt: skip
            else:
                found.append(slot)
    return tuple(found)


def _alike(one: Slot, other: Slot) -> bool:
    return (one.chord, one.silent, one.root_only) == (other.chord, other.silent, other.root_only)
