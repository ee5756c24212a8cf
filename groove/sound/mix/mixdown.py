"""Compressors and faders of the mix, set by the loudness of each part.

All of it is settled before the gain for the loudness and the limiters (`mastering.py`), and does
not depend on which files are asked for: a stem is the part as it is in the mix.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from groove.band.part import BASS, CHORDAL, DRUMS
from groove.sound.mix.limiter import GainCurve, decibels_over, lowered_by
from groove.sound.parallel import for_each

if TYPE_CHECKING:
    from collections.abc import Mapping

    from groove.sound.mix.levels import PartLevel
    from groove.sound.mix.limiter import Levels
    from groove.sound.mix.mix_settings import Compressor, MixSettings
    from groove.sound.mix.recording import Recording
    from groove.sound.samples import Samples


@dataclass(frozen=True)
class Channel:
    """The processing of a part: its fader in dB, and the gain curve of its compressor."""

    fader: float
    compressor: GainCurve

    def process(self, first: int, samples: Samples) -> None:
        """Process `samples`, which begin at frame `first`, in place."""
        self.compressor.apply(samples, first)
        samples *= np.float32(10 ** (self.fader / 20))

    def peaks(self, before: Levels) -> Levels:
        """Upper bounds of the peaks of slices afterwards, as the gain moves within a slice."""
        gains = self.compressor.gains
        lowered: Levels = before * np.maximum(gains[:-1], gains[1:])
        lowered *= np.float32(10 ** (self.fader / 20))
        return lowered


def channels(levels: Mapping[str, PartLevel], settings: MixSettings) -> dict[str, Channel]:
    """The channels for parts with these levels."""
    curves = {
        part: _compressed(level, settings.compressors.get(part)) for part, level in levels.items()
    }
    loudness = {
        part: level.loudness + _change(level.peaks, curves[part]) for part, level in levels.items()
    }
    faders = _faders(loudness, settings)
    return {part: Channel(faders.get(part, 0.0), curves[part]) for part in levels}


@dataclass(frozen=True)
class MixedPart:
    """A part in the mix: by how many dB its fader was moved, by how many its compressor lowers it
    at most, and the peaks of its slices."""

    fader: float
    compressed: float
    peaks: Levels


def mix_down(
    recording: Recording, levels: Mapping[str, PartLevel], settings: MixSettings
) -> dict[str, MixedPart]:
    """Process every part of a recording in place, by the levels of all."""
    by_part = channels(levels, settings)
    for_each(lambda part: recording.stored[part].change(by_part[part].process), list(by_part))
    return {
        part: MixedPart(
            channel.fader, channel.compressor.reduction_db, channel.peaks(levels[part].peaks)
        )
        for part, channel in by_part.items()
    }


def _faders(loudness: Mapping[str, float], settings: MixSettings) -> dict[str, float]:
    """The gain of each part's fader, in dB, towards the balance of the settings.

    The moves of drums, bass and comping average 0 dB: the gain comes later. Percussion leaves
    them as they are.
    """
    off = {
        part: wanted - loudness[part]
        for part, wanted in settings.balance.items()
        if part in loudness and math.isfinite(loudness[part])
    }
    players = [off[part] for part in (DRUMS, BASS, *CHORDAL) if part in off]
    if not players:
        return {}
    middle = sum(players) / len(players)
    return {
        part: max(-settings.fader, min(settings.fader, each - middle)) for part, each in off.items()
    }


def _compressed(level: PartLevel, compressor: Compressor | None) -> GainCurve:
    """The gain curve of a compressor on a part; it goes down ahead of a stroke, as a limiter's."""
    peaks, loudness = level.peaks, level.loudness
    if compressor is None or not math.isfinite(loudness):
        return GainCurve(np.ones(len(peaks) + 1, dtype=np.float32))
    over = decibels_over(peaks, 10 ** ((loudness + compressor.above) / 20))
    return lowered_by(over * np.float32(1 - 1 / compressor.ratio))


def _change(peaks: Levels, curve: GainCurve) -> float:
    """The change in loudness by a gain curve on a part with these peaks, roughly, in dB."""
    energy = np.square(peaks)
    whole = float(energy.sum(dtype=np.float64))
    energy *= np.square(np.maximum(curve.gains[:-1], curve.gains[1:]))
    kept = float(energy.sum(dtype=np.float64))
    return 10 * math.log10(kept / whole) if whole else 0.0
