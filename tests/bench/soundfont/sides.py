"""The two sides of a sound: brings them to one in the middle, or into balance."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from tests.bench.soundfont.font import (
    ATTENUATION,
    DECIBEL,
    PAN,
    Instrument,
    Sample,
    Zone,
    signed,
    unsigned,
)

HARD = 500
HEARD = 1.0
MIDDLE_LOSS = 3.0
"""Decibels by which a sound in the middle is weaker on each side than one on that side alone."""
MIDDLE: Mapping[int, float] = {}
ALIKE = 0.9
"""Correlation from which on the mean of two sides is the sound itself; below it, parts of the sound
would go out."""


def pairs(instrument: Instrument) -> list[tuple[Zone, Zone]]:
    """The zones of an instrument that play the two sides of one sound, left and right."""
    found: dict[tuple[object, ...], dict[int, Zone]] = {}
    for zone in instrument.zones:
        if isinstance(zone.target, Sample) and abs(_pan(zone)) == HARD:
            found.setdefault((zone.keys, zone.velocities), {}).setdefault(_pan(zone), zone)
    return [(sides[-HARD], sides[HARD]) for sides in found.values() if len(sides) == 2]


def fold(instrument: Instrument, folded: dict[tuple[Sample, Sample], Sample]) -> None:
    """Play every pair of an instrument from the middle, as one sample: the mean of both sides where
    they are ALIKE, else the left one. `folded` holds the samples made so far."""
    for left, right in pairs(instrument):
        assert isinstance(left.target, Sample)
        assert isinstance(right.target, Sample)
        both = (left.target, right.target)
        if both not in folded:
            folded[both] = _folded(*both)
        left.target = folded[both]
        left.generators[PAN] = 0
        attenuate(left, -MIDDLE_LOSS)
        instrument.zones.remove(right)


def balance(instrument: Instrument, leans: Mapping[int, float] = MIDDLE) -> None:
    """Bring the sides of every pair of an instrument to the same energy, or to one that the left
    has above the right, in decibels by key. The pair is as strong as before."""
    for pair in pairs(instrument):
        powers = [_power(zone) for zone in pair]
        gain = leans.get(pair[0].keys[0], 0.0) / 2 - 5 * np.log10(powers[0] / powers[1])
        turned = [powers[0] * 10 ** (gain / 10), powers[1] * 10 ** (-gain / 10)]
        kept = 10 * np.log10(sum(powers) / sum(turned))
        attenuate(pair[0], -gain - kept)
        attenuate(pair[1], gain - kept)


def attenuation(zone: Zone) -> int:
    """The attenuation of a zone, in a generator's units: DECIBEL of them are a decibel."""
    return signed(zone.generators.get(ATTENUATION, 0))


def attenuate(zone: Zone, decibels: float) -> None:
    """Take some decibels off a zone, in addition to what it takes off already."""
    zone.generators[ATTENUATION] = unsigned(round(attenuation(zone) + decibels * DECIBEL))


def _folded(left: Sample, right: Sample) -> Sample:
    one, other = left.frames.astype(float), right.frames.astype(float)
    alike = len(one) == len(other) and np.corrcoef(one, other)[0, 1] >= ALIKE
    frames = (one + other) / 2 if alike else one
    name = left.name.replace("(L)", "").strip()
    return Sample(
        name, np.rint(frames).astype(np.int16), left.rate, left.loop, left.pitch,
        left.correction, left.quality,
    )  # fmt: skip


def _power(zone: Zone) -> float:
    """The energy of the first second of a zone's sample as the zone plays it."""
    assert isinstance(zone.target, Sample)
    heard = zone.target.frames[: round(HEARD * zone.target.rate)]
    energy = float((heard.astype(float) ** 2).sum())
    return energy * 10 ** (-attenuation(zone) / DECIBEL / 10)


def _pan(zone: Zone) -> int:
    return signed(zone.generators.get(PAN, 0))
