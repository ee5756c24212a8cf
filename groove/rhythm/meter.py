"""Metre and musical time in ticks.

Musical time is counted in whole ticks, 960 to a quarter note, so that halves, triplets
and sixteenths are exact.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from itertools import pairwise

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
    return ticks / meter.beat_ticks * 60 / tempo


def seconds_to_ticks(seconds: float, tempo: float, meter: Meter) -> float:
    """Ticks of a stretch of seconds at ``tempo`` felt beats a minute."""
    return seconds * tempo / 60 * meter.beat_ticks


@dataclass(frozen=True, slots=True)
class TempoMap:
    """The course of the tempo: from which tick on so many felt beats a minute, from tick 0."""

    meter: Meter
    changes: tuple[tuple[int, float], ...]

    def seconds(self, tick: float) -> float:
        """The seconds from the start of the track to a tick."""
        return self._place(bisect_right(self._ticks(), tick), tick)

    def ticks(self, seconds: float) -> float:
        """The tick at so many seconds from the start of the track."""
        starts = [self._place(number, tick) for number, (tick, _) in enumerate(self.changes)]
        number = max(1, bisect_right(starts, seconds))
        start, tempo = self.changes[number - 1]
        return start + seconds_to_ticks(seconds - starts[number - 1], tempo, self.meter)

    def _ticks(self) -> list[int]:
        return [tick for tick, _ in self.changes]

    def _place(self, number: int, tick: float) -> float:
        """The seconds to a tick before which ``number`` tempi begin."""
        passed = [*self.changes[: max(1, number)], (tick, 0.0)]
        return sum(
            ticks_to_seconds(end - start, tempo, self.meter)
            for (start, tempo), (end, _) in pairwise(passed)
        )
