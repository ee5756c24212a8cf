"""A table of figures, one line a pattern, worst first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain

from tests.bench.limits import in_words


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of a pattern and the limits that it is to keep, both included.

    value: None where a pattern has nothing to measure. low, high: None where there is no limit.
    """

    name: str
    value: float | None
    low: float | None = None
    high: float | None = None
    form: str = "{:.0%}"

    @property
    def shortfall(self) -> float:
        """How far the value is outside its limits, as a share of the limit; 0 inside."""
        if self.value is None:
            return 0.0
        if self.low is not None and self.value < self.low:
            return (self.low - self.value) / (abs(self.low) or 1.0)
        if self.high is not None and self.value > self.high:
            return (self.value - self.high) / (abs(self.high) or 1.0)
        return 0.0

    def __str__(self) -> str:
        shown = "-" if self.value is None else self.form.format(self.value)
        return f"{shown}*" if self.shortfall else shown

    @property
    def limits(self) -> str:
        """The limits in words, as ``40% to 70%``."""
        return in_words(self.low, self.high, self.form)


@dataclass(frozen=True, slots=True)
class Row:
    """The figures of a pattern."""

    name: str
    figures: tuple[Figure, ...]

    @property
    def misses(self) -> int:
        """The number of figures that are outside their limits."""
        return sum(figure.shortfall > 0 for figure in self.figures)

    @property
    def worth(self) -> tuple[int, float]:
        """A key that sorts the best rows first."""
        return self.misses, sum(min(1.0, figure.shortfall) for figure in self.figures)


def share(found: float, of: float) -> float | None:
    """A share, None of nothing."""
    return found / of if of else None


def printed(rows: Sequence[Row], title: str) -> str:
    """The rows as text, worst first, a star beside each figure outside its limits."""
    if not rows:
        return f"{title}: nothing to measure"
    head = rows[0].figures
    ordered = sorted(rows, key=lambda row: row.worth, reverse=True)
    lines = [
        ["", *(figure.name for figure in head)],
        ["limits", *(figure.limits for figure in head)],
        *([row.name, *map(str, row.figures)] for row in ordered),
    ]
    widths = [max(len(line[column]) for line in lines) for column in range(len(head) + 1)]
    shown = (
        "  ".join(
            word.ljust(width) if not column else word.rjust(width)
            for column, (word, width) in enumerate(zip(line, widths, strict=True))
        ).rstrip()
        for line in lines
    )
    whole = sum(not row.misses for row in rows)
    return "\n".join(chain([title], shown, [f"{whole} of {len(rows)} within all limits", ""]))
