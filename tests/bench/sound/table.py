"""A table of figures of two checkouts, side by side."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tests.bench.limits import in_words


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure of the sound by its name, and the limits that it is to keep, both included.

    low, high: None where there is no limit; nan stands for what could not be measured.
    """

    name: str
    value: float
    low: float | None = None
    high: float | None = None
    form: str = "{:.2f}"

    @property
    def missed(self) -> bool:
        """True if the value is outside its limits."""
        if self.low is None and self.high is None:
            return False
        above = self.low is None or self.value >= self.low - 1e-9
        below = self.high is None or self.value <= self.high + 1e-9
        return not (above and below)

    @property
    def limits(self) -> str:
        """The limits in words."""
        return in_words(self.low, self.high, self.form)

    def shown(self) -> str:
        """The value, with a star if it is outside its limits."""
        text = "-" if math.isnan(self.value) else self.form.format(self.value)
        return f"{text}{'*' if self.missed else ' '}"


def printed(title: str, columns: Sequence[tuple[str, Sequence[Figure]]]) -> str:
    """The figures of one chapter, a line each; columns: the name of a checkout and its figures."""
    names = list(dict.fromkeys(figure.name for _, figures in columns for figure in figures))
    by_name = [{figure.name: figure for figure in figures} for _, figures in columns]
    wide = max([len(name) for name in names] + [len(title)]) + 2
    lines = [f"{title:{wide}}" + "".join(f"{head:>14}" for head, _ in columns) + "   wanted"]
    for name in names:
        cells = [figures[name].shown() if name in figures else "" for figures in by_name]
        limits = next(figures[name].limits for figures in by_name if name in figures)
        lines.append(f"{name:{wide}}" + "".join(f"{cell:>14}" for cell in cells) + f"   {limits}")
    return "\n".join(lines) + "\n"
