"""Metre and musical time in ticks.

Musical time is counted in whole ticks, 960 to a quarter note, so that halves, triplets
and sixteenths are exact.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, pairwise
from operator import itemgetter

TICKS_PER_QUARTER = 960


@dataclass(frozen=True, slots=True)
class Meter:
    """A time signature; the beat is the one that is felt, dotted in 6/8 and 12/8."""

    numerator: int
    denominator: int

    @property
    def is_compound(self) -> bool:
        """Whether the beat divides in three: 6/8 and 12/8."""
        return self.denominator == 8

    @property
    def beats(self) -> int:
        """Felt beats in a bar."""
        return self.numerator // 3 if self.is_compound else self.numerator

    @property
    def beat_ticks(self) -> int:
        return TICKS_PER_QUARTER * 3 // 2 if self.is_compound else TICKS_PER_QUARTER

    @property
    def bar_ticks(self) -> int:
        return self.beats * self.beat_ticks

    def __str__(self) -> str:
        return f"{self.numerator}/{self.denominator}"


METERS = {str(meter): meter for meter in (Meter(4, 4), Meter(3, 4), Meter(6, 8), Meter(12, 8))}


def ticks_to_seconds(ticks: float, tempo: float, meter: Meter) -> float:
    """Seconds of a stretch of ticks at ``tempo`` felt beats a minute."""
    return _seconds(ticks, tempo, meter.beat_ticks)


def seconds_to_ticks(seconds: float, tempo: float, meter: Meter) -> float:
    """Ticks of a stretch of seconds at ``tempo`` felt beats a minute."""
    return _ticks(seconds, tempo, meter.beat_ticks)


@dataclass(frozen=True)
class TempoMap:
    """The course of the tempo, which turns ticks into seconds and back.

    beat_ticks: ticks of the beat that tempi count. changes: from which tick on there are how many
    beats a minute, the first from tick 0.
    """

    beat_ticks: int
    changes: tuple[tuple[int, float], ...]

    def seconds(self, tick: float) -> float:
        """The seconds from the start of the track to a tick."""
        number = max(0, bisect_right(self.changes, tick, key=itemgetter(0)) - 1)
        start, tempo = self.changes[number]
        return self._starts[number] + _seconds(tick - start, tempo, self.beat_ticks)

    def ticks(self, seconds: float) -> float:
        """The tick at so many seconds from the start of the track."""
        number = max(0, bisect_right(self._starts, seconds) - 1)
        start, tempo = self.changes[number]
        return start + _ticks(seconds - self._starts[number], tempo, self.beat_ticks)

    @cached_property
    def _starts(self) -> list[float]:
        """The seconds at which each tempo begins."""
        lengths = (
            _seconds(end - start, tempo, self.beat_ticks)
            for (start, tempo), (end, _) in pairwise(self.changes)
        )
        return list(accumulate(lengths, initial=0.0))


def _seconds(ticks: float, tempo: float, beat_ticks: int) -> float:
    return ticks / beat_ticks * 60 / tempo


def _ticks(seconds: float, tempo: float, beat_ticks: int) -> float:
    return seconds * tempo / 60 * beat_ticks
