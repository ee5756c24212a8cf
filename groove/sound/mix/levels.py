"""Measures loudness and peaks, per slice and for the whole signal."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.mix.loudness import (
    EXACT,
    integrated,
    loudness_range,
    stretch_spectra,
    weighted,
)
from groove.sound.mix.midrange import register_energy
from groove.sound.mix.peaks import Peaks, block_peaks, slice_peaks, true_peaks
from groove.sound.parallel import for_each
from groove.sound.report import MixLevels

if TYPE_CHECKING:
    from groove.sound.mix.gain_curve import Levels
    from groove.sound.mix.loudness import Energies, Gauge
    from groove.sound.mix.peaks import Source
    from groove.sound.parallel import Step
    from groove.sound.samples import Samples


@dataclass(frozen=True)
class Level:
    """The K-weighted energies, by a gauge, for the loudness, and the peaks, for the limiter."""

    energies: Energies
    peaks: Peaks


def level_of(
    source: Source,
    frames: int,
    gauge: Gauge = EXACT,
    near: float = math.inf,
    step: Step = lambda _frames: None,
) -> Level:
    """The level of the first `frames` of a source, measured in one pass on all cores.

    near: peaks of samples are made true peaks where those might lie above it. step: called with the
    frames of each piece of the work.
    """
    firsts = range(0, frames, gauge.chunk)
    levels: dict[int, Level] = {}

    def measure_chunk(first: int) -> None:
        sound = np.empty((gauge.before + min(gauge.chunk, frames - first), 2), dtype=np.float32)
        source.read(first - gauge.before, sound)
        levels[first] = Level(gauge.energies(sound), block_peaks(sound[gauge.before :], near))
        step(len(sound) - gauge.before)

    for_each(measure_chunk, firsts)
    found = [levels[first] for first in firsts]
    return Level(
        np.concatenate([level.energies for level in found]),
        Peaks.joined([level.peaks for level in found]),
    )


@dataclass(frozen=True)
class PartLevel:
    """A part's peak in each slice, and its loudness in LUFS, estimated; minus infinity for
    silence.

    register: its energy between 300 Hz and 3 kHz, in a measure that all parts of a track share.
    """

    peaks: Levels
    loudness: float
    register: float = 0.0


class PartMeter:
    """Measures a part block by block while it is played."""

    def __init__(self) -> None:
        self._peaks: list[Levels] = []
        self._stretches: list[Energies] = []
        self._register = 0.0

    def add(self, block: Samples) -> None:
        """Add a block of whole slices and stretches."""
        self._peaks.append(slice_peaks(block))
        spectra = stretch_spectra(block)
        self._stretches.append(weighted(spectra))
        self._register += register_energy(spectra)

    @property
    def level(self) -> PartLevel:
        """The level of the part so far."""
        loudness = integrated(np.concatenate(self._stretches))
        return PartLevel(np.concatenate(self._peaks), loudness, self._register)


def measure(mix: Source, frames: int, step: Step) -> MixLevels:
    """The levels of a mix as it is written; step: called with the frames of each piece."""
    level = level_of(mix, frames, step=step)
    highest = float(level.peaks.peaks.max())
    peak = float(true_peaks(mix, level.peaks, highest).max())
    return MixLevels(
        integrated(level.energies),
        loudness_range(level.energies),
        20 * math.log10(max(peak, 1e-10)),
    )
