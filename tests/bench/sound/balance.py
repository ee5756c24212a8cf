"""Balance of ten styles: energy by bands, sides, the comping's share where a soloist plays."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import pyloudnorm

from tests.bench.sound.checkout import Checkout, read
from tests.bench.sound.measures import RATE, decibels, energies
from tests.bench.sound.styles import STYLES, render_styles
from tests.bench.sound.table import Figure

EDGES = (20.0, 200.0, 400.0, 2000.0, 6000.0, 20_000.0)
BANDS = ("below 200 Hz", "200 to 400 Hz", "400 Hz to 2 kHz", "2 to 6 kHz", "above 6 kHz")
MEAN_LIMITS = {"below 200 Hz": (0.45, 0.60), "400 Hz to 2 kHz": (0.15, 0.25)}
"""Of all styles: a band mix has about 20 % in the middle. Common practice."""
LIMITS = {"below 200 Hz": (0.40, 0.65), "400 Hz to 2 kHz": (0.12, 0.30)}
"""Of each style."""
MIDDLE, SOLO = (400.0, 3000.0), (300.0, 3000.0)
CHORDAL = ("comping", "guitar", "keys")


def figures(checkout: Checkout, styles: Sequence[str] = STYLES, choruses: int = 2) -> list[Figure]:
    """The figures of each style as the whole program makes it, and the mean of all."""
    render_styles(checkout, styles, choruses)
    found: list[Figure] = []
    shares = []
    for style in styles:
        mix = read(checkout.mix(f"styles/{style}"))
        stems = checkout.stems(f"styles/{style}")
        bands = np.array(energies(mix, EDGES))
        shares.append(bands / bands.sum())
        for name, share in zip(BANDS, shares[-1], strict=True):
            low, high = LIMITS.get(name, (None, None))
            found.append(Figure(f"{style}, {name}", float(share), low, high, "{:.1%}"))
        left, right = (energies(mix[:, side : side + 1], MIDDLE)[0] for side in (0, 1))
        found.append(Figure(f"{style}, left - right (dB)", decibels(left / right), -1, 1, "{:.1f}"))
        solo = {name: energies(stem, SOLO)[0] for name, stem in stems.items()}
        comping = sum(solo.get(name, 0.0) for name in CHORDAL)
        found.append(
            Figure(
                f"{style}, comping's share 300 to 3k",
                comping / sum(solo.values()),
                high=0.5,
                form="{:.0%}",
            )
        )
        one, other = mix.T
        found.append(
            Figure(
                f"{style}, correlation of the sides",
                float(one @ other / math.sqrt((one @ one) * (other @ other))),
                low=0.0,
            )
        )
        meter = pyloudnorm.Meter(RATE)
        whole = meter.integrated_loudness(mix)
        for name, stem in stems.items():
            loudness = meter.integrated_loudness(stem) - whole
            found.append(Figure(f"{style}, {name} (LU to the mix)", loudness, form="{:.1f}"))
    mean = np.mean(shares, axis=0)
    found += [
        Figure(f"mean of all, {name}", float(share), *MEAN_LIMITS.get(name, (None, None)), "{:.1%}")
        for name, share in zip(BANDS, mean, strict=True)
    ]
    return found
