"""Measures loudness and peaks, per slice and for the whole signal."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.mix.limiter import SLICE, slice_peaks, true_peaks
from groove.sound.mix.loudness import (
    STEP,
    Meter,
    estimated,
    integrated,
    loudness_range,
    stretch_energies,
)
from groove.sound.parallel import for_each
from groove.sound.report import MixLevels

if TYPE_CHECKING:
    from groove.sound.mix.limiter import Levels, Source
    from groove.sound.mix.loudness import Energies
    from groove.sound.parallel import Step
    from groove.sound.samples import Samples

CHUNK = math.lcm(STEP, SLICE)
"""Frames measured at once, 3.2 s: whole steps of the meter and slices of the limiter."""


@dataclass(frozen=True)
class Level:
    """The K-weighted energy of each of the meter's steps, for the loudness, and the peak of each
    slice, for the limiter."""

    energies: Energies
    peaks: Levels


def level_of(source: Source, frames: int, step: Step = lambda _frames: None) -> Level:
    """The level of the first `frames` of a source, measured on all cores.

    step: called with the frames of each piece of the work.
    """
    chunks = range(0, frames, CHUNK)
    energies: list[Energies] = [np.empty(0)] * len(chunks)
    peaks: list[Levels] = [np.empty(0, np.float32)] * len(chunks)

    def measure_chunk(number: int) -> None:
        first = chunks[number]
        # One step more before them, so that the meter's filters ring as they do in the whole.
        sound = np.empty((min(CHUNK, frames - first) + STEP, 2), dtype=np.float32)
        source.read(first - STEP, sound)
        meter = Meter()
        meter.add(sound)
        energies[number] = meter.energies[1:]
        peaks[number] = slice_peaks(sound[STEP:])
        step(len(sound) - STEP)

    for_each(measure_chunk, range(len(chunks)))
    return Level(np.concatenate(energies), np.concatenate(peaks))


@dataclass(frozen=True)
class PartLevel:
    """A part's peak in each slice, and its loudness in LUFS, estimated; minus infinity for
    silence."""

    peaks: Levels
    loudness: float


class PartMeter:
    """Measures a part block by block while it is played."""

    def __init__(self) -> None:
        self._peaks: list[Levels] = []
        self._stretches: list[Energies] = []

    def add(self, block: Samples) -> None:
        """Add a block of whole slices and stretches."""
        self._peaks.append(slice_peaks(block))
        self._stretches.append(stretch_energies(block))

    @property
    def level(self) -> PartLevel:
        """The level of the part so far."""
        return PartLevel(np.concatenate(self._peaks), estimated(np.concatenate(self._stretches)))


def measure(mix: Source, frames: int, step: Step) -> MixLevels:
    """The levels of a mix as it is written; step: called with the frames of each piece."""
    level = level_of(mix, frames, step)
    peak = float(true_peaks(mix, level.peaks, float(level.peaks.max())).max())
    return MixLevels(
        integrated(level.energies),
        loudness_range(level.energies),
        20 * math.log10(max(peak, 1e-10)),
    )
