"""Metre and musical time in ticks.

Musical time is counted in whole ticks, 960 to a quarter note, so that halves, triplets
and sixteenths are exact.
"""

from __future__ import annotations

from dataclasses import dataclass

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
