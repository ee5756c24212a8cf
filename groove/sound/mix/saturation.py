"""Saturation: the harmonics that valves, tape and loudspeakers add to what is played through them.

It is without memory: each sample is bent by the same curve, the hyperbolic tangent (common
practice). Gentle as it is here, harmonics above the fifth hardly arise, and what would lie above
half the sample rate is too soft to be heard where it folds back.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from groove.sound.samples import Samples

LEAST_DRIVE, MOST_DRIVE = 0.0, 36.0
MOST_EVEN = 0.6


@dataclass(frozen=True, slots=True)
class Saturation:
    """A curve: the higher the level, the more it is bent.

    drive: in dB, 0 to 36; the curve is the hyperbolic tangent of the samples raised by it. even:
    0 to 0.6; by how much the curve is bent to one side, which makes even harmonics, too.
    Raises ValueError for anything else.
    """

    drive: float
    even: float = 0.0

    def __post_init__(self) -> None:
        for name, value, low, high in (
            ("drive", self.drive, LEAST_DRIVE, MOST_DRIVE),
            ("even", self.even, 0.0, MOST_EVEN),
        ):
            if not low <= value <= high:
                raise ValueError(f"{name}: found {value:g}; {low:g} to {high:g} are allowed")

    def apply(self, samples: Samples) -> Samples:
        """Samples as the curve bends them: new ones; soft sound passes as it is."""
        import numpy as np

        drive = 10 ** (self.drive / 20)
        still = math.tanh(self.even)
        bent = samples * np.float32(drive)
        bent += np.float32(self.even)
        np.tanh(bent, out=bent)
        bent -= np.float32(still)
        bent *= np.float32(1 / (drive * (1 - still * still)))
        return bent
