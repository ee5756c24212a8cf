"""Builds recorded sets into a font: melodic sounds in layers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import soxr
from numpy.typing import NDArray

from groove.rhythm.kit import INSTRUMENTS
from tests.bench.soundfont.font import (
    COARSE_TUNE,
    FINE_TUNE,
    KEY_RANGE,
    PAN,
    ROOT_KEY,
    VELOCITY_RANGE,
    Instrument,
    Preset,
    Sample,
    Zone,
    unsigned,
)
from tests.bench.soundfont.recorded import RATE, Recording
from tests.bench.soundfont.sides import HARD, attenuate

FULL_SCALE = 32767
SAME = 1e-4
"""Of full scale: sides that differ by less are one."""


@dataclass(frozen=True)
class Variant:
    """How a melodic sound plays a recorded set: its name, by how much lower velocities already get
    a stronger layer, and by how many cents two copies of each string are apart."""

    name: str
    harder: int = 0
    apart: float = 0.0


@dataclass
class Built:
    """The samples of a set's recordings at `rate` frames a second, each made once: those of its
    sides, or a single one."""

    quality: float
    rate: int = RATE
    _samples: dict[Recording, list[Sample]] = field(default_factory=dict)

    def zones(self, recording: Recording) -> list[Zone]:
        """Zones that play a recording for its keys and velocities."""
        if recording not in self._samples:
            self._samples[recording] = self._made(recording)
        samples = self._samples[recording]
        pans = (-HARD, HARD) if len(samples) == 2 else (0,)
        zones = []
        for sample, pan in zip(samples, pans, strict=True):
            zone = Zone({PAN: unsigned(pan), ROOT_KEY: recording.key}, target=sample)
            zone.set_span(KEY_RANGE, *recording.keys)
            zone.set_span(VELOCITY_RANGE, *recording.velocities)
            transpose(zone, recording.cents)
            attenuate(zone, recording.attenuation - (0 if pan else 3.0))
            zones.append(zone)
        return zones

    def _made(self, recording: Recording) -> list[Sample]:
        frames = recording.frames
        if self.rate != RATE:
            frames = soxr.resample(frames, RATE, self.rate, quality="VHQ")
        one = bool(np.abs(frames[:, 0] - frames[:, 1]).max() < SAME)
        sides = [(recording.name, frames[:, 0])] if one else [
            (f"{recording.name} {letter}", frames[:, side]) for side, letter in enumerate("LR")
        ]  # fmt: skip
        return [
            Sample(
                name, _sixteen_bits(side), self.rate, (0, len(side)), quality=self.quality
            )
            for name, side in sides
        ]  # fmt: skip


def melodic(recordings: Sequence[Recording], variant: Variant, built: Built) -> Preset:
    """A melodic preset of a recorded set."""
    instrument = Instrument(variant.name[:19])
    for recording in recordings:
        low, high = (_harder(velocity, variant.harder) for velocity in recording.velocities)
        for cents in (-variant.apart / 2, variant.apart / 2) if variant.apart else (0.0,):
            for zone in built.zones(recording):
                zone.set_span(VELOCITY_RANGE, low, high)
                transpose(zone, recording.cents + cents)
                if variant.apart:
                    attenuate(zone, 3.0)
                instrument.zones.append(zone)
    program = INSTRUMENTS[variant.name].program
    return Preset(variant.name[:19], 0, program, [Zone(target=instrument)])


def transpose(zone: Zone, cents: float) -> None:
    """Let a zone sound some cents higher than its root key says."""
    semitones = round(cents / 100)
    zone.generators[COARSE_TUNE] = unsigned(semitones)
    zone.generators[FINE_TUNE] = unsigned(round(cents - 100 * semitones))


def _sixteen_bits(side: NDArray[np.float64]) -> NDArray[np.int16]:
    return np.rint(np.clip(side, -1, 1) * FULL_SCALE).astype(np.int16)


def _harder(velocity: int, by: int) -> int:
    """A bound of a layer moved down; the ends of the range stay."""
    return velocity if velocity in (0, 127) else max(velocity - by, 0)
