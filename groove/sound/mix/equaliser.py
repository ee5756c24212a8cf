"""The equaliser: bands of second order, and what they do to each frequency.

The formulas are those of Robert Bristow-Johnson, "Cookbook formulae for audio EQ biquad filter
coefficients" (1994, also a W3C note of 2021; from memory). The shelves have his slope S = 1. A
browser's `BiquadFilterNode` is defined by the same formulas, so that a page can have the same
sound (Web Audio API; from memory; it takes the q of passes in dB).
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterable

SHAPES = LOW_SHELF, HIGH_SHELF, PEAK, LOW_PASS, HIGH_PASS = (
    "low shelf", "high shelf", "peak", "low pass", "high pass",
)  # fmt: skip
PASSES = LOW_PASS, HIGH_PASS

LOWEST, HIGHEST = 20.0, 20_000.0
"""Hertz."""
MOST_DB = 12.0
NARROWEST = 10.0

Three = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Band:
    """One filter.

    shape: one of `SHAPES`. hertz: its frequency, 20 to 20,000. gain: in dB, -12 to 12, of shelves
    and peaks. q: of peaks and passes, 0.1 to 10; the larger, the narrower. Raises ValueError for
    anything else.
    """

    shape: str
    hertz: float
    gain: float = 0.0
    q: float = math.sqrt(0.5)

    def __post_init__(self) -> None:
        if self.shape not in SHAPES:
            raise ValueError(f"found {self.shape!r}; bands are {', '.join(SHAPES)}")
        for name, value, low, high in (
            ("hertz", self.hertz, LOWEST, HIGHEST),
            ("gain", self.gain, -MOST_DB, MOST_DB),
            ("q", self.q, 0.1, NARROWEST),
        ):
            if not low <= value <= high:
                raise ValueError(f"{name}: found {value:g}; {low:g} to {high:g} are allowed")
        if self.shape in PASSES and self.gain:
            raise ValueError(f"gain: found {self.gain:g}; a {self.shape} has none")

    def coefficients(self, rate: int) -> tuple[Three, Three]:
        """The factors of z^0, z^-1 and z^-2 over and under the line, at a sample rate in Hz."""
        angle = 2 * math.pi * min(self.hertz, 0.49 * rate) / rate
        cos, sin = math.cos(angle), math.sin(angle)
        amplitude = 10 ** (self.gain / 40)
        alpha = sin / (2 * self.q)
        match self.shape:
            case "low pass" | "high pass":
                side = 1 - cos if self.shape == LOW_PASS else -(1 + cos)
                return (abs(side) / 2, side, abs(side) / 2), (1 + alpha, -2 * cos, 1 - alpha)
            case "peak":
                return (
                    (1 + alpha * amplitude, -2 * cos, 1 - alpha * amplitude),
                    (1 + alpha / amplitude, -2 * cos, 1 - alpha / amplitude),
                )
        sign = 1 if self.shape == LOW_SHELF else -1
        more, less = amplitude + 1, amplitude - 1
        edge = math.sqrt(2 * amplitude) * sin
        return (
            (
                amplitude * (more - sign * less * cos + edge),
                sign * 2 * amplitude * (less - sign * more * cos),
                amplitude * (more - sign * less * cos - edge),
            ),
            (
                more + sign * less * cos + edge,
                -sign * 2 * (less + sign * more * cos),
                more + sign * less * cos - edge,
            ),
        )


def response(bands: Iterable[Band], z: Any, rate: int) -> Any:
    """The complex gain of bands one after another at `z`, which is exp(-2 pi i hertz / rate).

    z: a complex number or an array of them; so is the result.
    """
    whole: Any = 1.0
    for band in bands:
        over, under = band.coefficients(rate)
        whole = whole * (over[0] + over[1] * z + over[2] * z * z)
        whole = whole / (under[0] + under[1] * z + under[2] * z * z)
    return whole


def decibels(bands: Iterable[Band], hertz: float, rate: int) -> float:
    """The gain in dB at a frequency in Hz.

    >>> round(decibels([Band("peak", 1000, 3)], 1000, 44_100), 2)
    3.0
    """
    z = cmath.exp(-2j * math.pi * hertz / rate)
    return 20 * math.log10(max(abs(response(bands, z, rate)), 1e-12))
