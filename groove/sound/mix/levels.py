"""What is found out about sound by hearing it: how loud it is, slice by slice and as a whole."""

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
from groove.sound.report import Heard

if TYPE_CHECKING:
    from groove.sound.mix.limiter import Levels, Source
    from groove.sound.mix.loudness import Energies
    from groove.sound.parallel import Step
    from groove.sound.samples import Samples

CHUNK = math.lcm(STEP, SLICE)
"""Frames that are heard at once, 3.2 s: whole steps of the meter and slices of the limiter."""


@dataclass(frozen=True)
class Level:
    """How loud something is: the K-weighted energy of each of the meter's steps, for the loudness,
    and the peak of each slice, for the limiter."""

    energies: Energies
    peaks: Levels


def level_of(source: Source, frames: int, step: Step = lambda _frames: None) -> Level:
    """How loud the first `frames` of a source are; all cores listen.

    step: is called for every bit of the work, with its frames.
    """
    chunks = range(0, frames, CHUNK)
    energies: list[Energies] = [np.empty(0)] * len(chunks)
    peaks: list[Levels] = [np.empty(0, np.float32)] * len(chunks)

    def listen(number: int) -> None:
        first = chunks[number]
        # One step more before them, so that the meter's filters ring as they do in the whole.
        sound = np.empty((min(CHUNK, frames - first) + STEP, 2), dtype=np.float32)
        source.read(first - STEP, sound)
        meter = Meter()
        meter.hear(sound)
        energies[number] = meter.energies[1:]
        peaks[number] = slice_peaks(sound[STEP:])
        step(len(sound) - STEP)

    for_each(listen, range(len(chunks)))
    return Level(np.concatenate(energies), np.concatenate(peaks))


@dataclass(frozen=True)
class PartLevel:
    """How loud a part is: the peak of each slice, and its loudness in LUFS, estimated; minus
    infinity for silence."""

    peaks: Levels
    loudness: float


class PartMeter:
    """Hears a part block by block while it is played."""

    def __init__(self) -> None:
        self._peaks: list[Levels] = []
        self._stretches: list[Energies] = []

    def hear(self, block: Samples) -> None:
        """Take in a block of whole slices and stretches."""
        self._peaks.append(slice_peaks(block))
        self._stretches.append(stretch_energies(block))

    @property
    def level(self) -> PartLevel:
        """How loud the part has been so far."""
        return PartLevel(np.concatenate(self._peaks), estimated(np.concatenate(self._stretches)))


def hear(mix: Source, frames: int, step: Step) -> Heard:
    """Listen to a mix as it is written."""
    level = level_of(mix, frames, step)
    peak = float(true_peaks(mix, level.peaks, float(level.peaks.max())).max())
    return Heard(
        integrated(level.energies),
        loudness_range(level.energies),
        20 * math.log10(max(peak, 1e-10)),
    )
