"""The state of the music at a moment: the chord now and to come, when it comes, the count."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Literal

from groove.band.count_in import counted
from groove.form.chart import Bar, Slot
from groove.handout.video.course import Course, Moment
from groove.theory.symbols import Symbol, marked, symbol


@dataclass(frozen=True, slots=True)
class Wait:
    """The time until a change: a number of felt beats or of bars.

    unit: ``"hold"`` while a chord is held out of time and nothing is counted. early: whether the
    chord sounds before the place that is counted to.
    """

    unit: Literal["beats", "bars", "hold"]
    number: Fraction = Fraction(0)
    early: bool = False


class Places:
    """Says of each moment of a course what sounds and what comes."""

    def __init__(self, course: Course) -> None:
        self.course = course
        self.chart = chart = course.chart
        first = chart.bars[0]
        counted_in = [
            chart.count_in + number * first.meter.bar_ticks for number in range(chart.form.count_in)
        ]
        self._lines = [*counted_in, *(bar.start for bar in chart.bars), chart.end]
        beats = [start + beat for start in counted_in for beat in first.meter.beat_starts]
        beats += [bar.start + beat for bar in chart.bars for beat in bar.meter.beat_starts]
        self._beats = [*beats, chart.end]
        self._ticks = sorted({*self._beats, *(slot.start for slot in course.chords)})

    def tick(self, moment: Moment) -> int:
        """The tick of the beat or chord that begins at a moment or has begun before it."""
        tick = round(self.chart.tempi.ticks(moment.seconds))
        at = bisect_right(self._ticks, tick) - 1
        return self._ticks[at] if at >= 0 else tick

    def bar(self, moment: Moment) -> Bar:
        """The bar of a moment; the first one before it begins."""
        return self.chart.bars[max(0, moment.bar)]

    def count(self, moment: Moment) -> int:
        """The number that a band leader counts at a moment of the count-in, else 0.

        The band's count-in is counted so: "1 - 2 - | 1 2 3 4", "1 2 3 2 2 3".
        """
        chart, tick = self.chart, round(self.chart.tempi.ticks(moment.seconds))
        if not chart.count_in <= tick < chart.start:
            return 0
        first = chart.bars[0]
        number, into = divmod(tick - chart.count_in, first.meter.bar_ticks)
        clicks = list(counted(first.setting, chart.form.count_in - number))
        beats = first.meter.beat_starts
        at = bisect_right(clicks, into) - 1
        if len(clicks) <= len(beats):
            return at + 1
        beat = bisect_right(beats, clicks[at]) - 1
        part = at - clicks.index(beats[beat])
        return part + 1 if part else beat + 1

    def now(self, moment: Moment) -> Symbol | None:
        """The chord that sounds, None before the first."""
        return shown(self.course.chords[moment.chord]) if moment.chord >= 0 else None

    def coming(self, moment: Moment) -> Symbol | None:
        """The chord that comes next and differs from the one now; None where the track ends."""
        place = self._changes[moment.chord + 1]
        if place == len(self.course.chords):
            return None
        slot = self.course.chords[place]
        return shown(slot, pushed=slot.early > 0)

    def wait(self, moment: Moment) -> Wait | None:
        """The time until the chord to come, or until the end; None before the count-in and after
        the last bar."""
        chart, tick = self.chart, self.tick(moment)
        if tick < self._lines[0] or tick >= chart.end:
            return None
        if self.is_held(moment):
            return Wait("hold")
        place, chords = self._changes[moment.chord + 1], self.course.chords
        goal, early = chart.end, False
        if place < len(chords):
            goal, early = chords[place].start, chords[place].early > 0
        beats = self._beat(goal) - self._beat(tick)
        if beats <= self.bar(moment).meter.beats:
            return Wait("beats", beats, early)
        bars = bisect_left(self._lines, goal) - (bisect_right(self._lines, tick) - 1)
        return Wait("bars", Fraction(bars), early)

    def is_held(self, moment: Moment) -> bool:
        """True while a chord is held: by a fermata, or as the last one until it has died away."""
        bar, tick = self.bar(moment), self.tick(moment)
        if bar.held is not None:
            return bar.held <= tick
        if moment.bar < len(self.chart.bars) - 1 or not self.chart.figures:
            return False
        figure = self.chart.figures[-1]
        whole = [(stroke.start, stroke.end) for stroke in figure.strokes]
        return figure.alone and whole == [(figure.start, bar.end)] and tick >= figure.start

    def _beat(self, tick: int) -> Fraction:
        """The felt beats before a tick, parts of one counted."""
        at = min(max(0, bisect_right(self._beats, tick) - 1), len(self._beats) - 2)
        start, end = self._beats[at : at + 2]
        return at + Fraction(tick - start, end - start)

    @cached_property
    def _changes(self) -> tuple[int, ...]:
        """For each chord the index of the next one that differs; first that of the first chord."""
        chords = self.course.chords
        found = [len(chords)] * (len(chords) + 1)
        found[0] = 0
        for at in range(len(chords) - 2, -1, -1):
            same = _alike(chords[at], chords[at + 1])
            found[at + 1] = found[at + 2] if same else at + 1
        return tuple(found)


def shown(slot: Slot, *, pushed: bool = False) -> Symbol:
    """The symbol of a chord with the marks of the form's notation."""
    return marked(symbol(slot.chord), pushed=pushed, silent=slot.silent, root_only=slot.root_only)


def _alike(one: Slot, other: Slot) -> bool:
    if one.silent and other.silent:
        return True
    return (one.chord, one.silent, one.root_only) == (other.chord, other.silent, other.root_only)
