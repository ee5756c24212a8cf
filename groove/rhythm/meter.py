"""Metre and musical time in ticks.

Musical time is counted in whole ticks, 960 to a quarter note, so that halves, triplets
and sixteenths are exact.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, pairwise
from operator import itemgetter

TICKS_PER_QUARTER = 960
SIGNATURES = (
    "4/4", "3/4", "2/4", "5/4", "6/4", "7/4", "2/2", "3/8", "5/8", "6/8", "7/8", "9/8", "12/8",
)  # fmt: skip
_GROUPED = re.compile(r"(\d+(?:\+\d+)*)/(\d+)")


@dataclass(frozen=True)
class Meter:
    """A time signature, and the groups of its units.

    groups: the units of each group, ``(2, 2, 3)`` in 2+2+3/8. The beat is the one that a tempo
    counts: the half in 2/2, the dotted quarter in 3/8, 6/8, 9/8 and 12/8, else the quarter. In
    5/8 and 7/8 the felt beats are the groups, and the long one has three eighths.
    """

    numerator: int
    denominator: int
    groups: tuple[int, ...]

    @classmethod
    def parse(cls, text: str) -> Meter:
        """Read ``7/8`` or ``2+2+3/8``; a metre of its own name has its usual groups.

        Raises ValueError, saying what is allowed.
        """
        match = _GROUPED.fullmatch(text.replace(" ", "")) if len(text) < 40 else None
        groups = tuple(int(units) for units in match[1].split("+")) if match else ()
        name = f"{sum(groups)}/{match[2]}" if match else ""
        if name not in SIGNATURES:
            raise ValueError(f"there are: {', '.join(SIGNATURES)}, and groups, as in 2+2+3/8")
        usual = cls(sum(groups), int(name.partition("/")[2]), _usual_groups(name))
        if len(groups) == 1:
            return usual
        if any(units not in (2, 3, 4) for units in groups):
            raise ValueError("groups of 2, 3 or 4 are allowed, as in 2+2+3/8")
        if usual.is_compound:
            raise ValueError(f"{name} goes in groups of three; write {name}")
        return cls(usual.numerator, usual.denominator, groups)

    @cached_property
    def is_compound(self) -> bool:
        """True if the beat divides in three: 3/8, 6/8, 9/8 and 12/8."""
        return self.denominator == 8 and self.numerator % 3 == 0

    @cached_property
    def unit_ticks(self) -> int:
        """The ticks of the note value that the signature counts."""
        return 4 * TICKS_PER_QUARTER // self.denominator

    @cached_property
    def beat_ticks(self) -> int:
        """The ticks of the beat that a tempo counts."""
        if self.denominator == 8:
            return self.unit_ticks * (3 if self.is_compound else 2)
        return self.unit_ticks

    @cached_property
    def bar_ticks(self) -> int:
        """The ticks of a bar."""
        return self.numerator * self.unit_ticks

    @cached_property
    def is_uneven(self) -> bool:
        """True if the felt beats are of different lengths: 5/8 and 7/8."""
        return self.bar_ticks % self.beat_ticks != 0

    @cached_property
    def beat_starts(self) -> tuple[int, ...]:
        """The starts of the felt beats of a bar, in ticks from its bar line."""
        if self.is_uneven:
            return self.group_starts
        return tuple(range(0, self.bar_ticks, self.beat_ticks))

    @cached_property
    def beats(self) -> int:
        """Felt beats in a bar."""
        return len(self.beat_starts)

    def beat_at(self, tick: int) -> tuple[int, int]:
        """The felt beat of a bar in which a tick lies, counted from 0, and how far into it.

        tick: counted from the start of any bar.
        """
        in_bar = tick % self.bar_ticks
        if not self.is_uneven:
            return divmod(in_bar, self.beat_ticks)
        beat = bisect_right(self.beat_starts, in_bar) - 1
        return beat, in_bar - self.beat_starts[beat]

    @cached_property
    def group_starts(self) -> tuple[int, ...]:
        """The starts of the groups of a bar, its strong places, in ticks from its bar line."""
        return tuple(accumulate((n * self.unit_ticks for n in self.groups[:-1]), initial=0))

    def __str__(self) -> str:
        return f"{self.numerator}/{self.denominator}"

    @property
    def full_name(self) -> str:
        """The signature, with its groups where they are not the usual ones: ``3+2+2/8``."""
        if self.groups == _usual_groups(str(self)):
            return str(self)
        return f"{'+'.join(map(str, self.groups))}/{self.denominator}"


def _usual_groups(name: str) -> tuple[int, ...]:
    """The usual groups of a metre's units (common practice)."""
    return {
        "2/4": (1, 1), "3/4": (3,), "4/4": (2, 2), "5/4": (3, 2), "6/4": (3, 3), "7/4": (4, 3),
        "2/2": (1, 1), "3/8": (3,), "5/8": (3, 2), "6/8": (3, 3), "7/8": (2, 2, 3),
        "9/8": (9,), "12/8": (6, 6),
    }[name]  # fmt: skip


METERS = {name: Meter.parse(name) for name in SIGNATURES}
"""The metres in their usual groups, by their names."""


def ticks_to_seconds(ticks: float, tempo: float, meter: Meter) -> float:
    """Seconds of a stretch of ticks at ``tempo`` felt beats a minute."""
    return _seconds(ticks, tempo, meter.beat_ticks)


def seconds_to_ticks(seconds: float, tempo: float, meter: Meter) -> float:
    """Ticks of a stretch of seconds at ``tempo`` felt beats a minute."""
    return _ticks(seconds, tempo, meter.beat_ticks)


@dataclass(frozen=True)
class TempoMap:
    """The course of the tempo, which turns ticks into seconds and back.

    changes: from which tick on there are how many beats a minute, and the ticks of that beat; the
    first from tick 0.
    """

    changes: tuple[tuple[int, float, int], ...]

    def seconds(self, tick: float) -> float:
        """The seconds from the start of the track to a tick."""
        number = max(0, bisect_right(self.changes, tick, key=itemgetter(0)) - 1)
        start, tempo, beat = self.changes[number]
        return self._starts[number] + _seconds(tick - start, tempo, beat)

    def ticks(self, seconds: float) -> float:
        """The tick at so many seconds from the start of the track."""
        number = max(0, bisect_right(self._starts, seconds) - 1)
        start, tempo, beat = self.changes[number]
        return start + _ticks(seconds - self._starts[number], tempo, beat)

    def rate(self, tick: int) -> float:
        """The ticks a minute at a time."""
        number = max(0, bisect_right(self.changes, tick, key=itemgetter(0)) - 1)
        _, tempo, beat = self.changes[number]
        return tempo * beat

    def slows_from(self, tick: int) -> bool:
        """True if the tempo changes more than once after a tick, as in a ritardando."""
        return sum(start > tick for start, _, _ in self.changes) > 1

    @cached_property
    def _starts(self) -> list[float]:
        """The seconds at which each tempo begins."""
        lengths = (
            _seconds(end - start, tempo, beat)
            for (start, tempo, beat), (end, _, _) in pairwise(self.changes)
        )
        return list(accumulate(lengths, initial=0.0))


def _seconds(ticks: float, tempo: float, beat_ticks: int) -> float:
    return ticks / beat_ticks * 60 / tempo


def _ticks(seconds: float, tempo: float, beat_ticks: int) -> float:
    return seconds * tempo / 60 * beat_ticks
