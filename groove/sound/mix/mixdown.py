"""Compressors and faders of the mix, set by the loudness of each part and by the form's levels.

All of it is settled before the gain for the loudness and the limiters (`mastering.py`), and does
not depend on which files are asked for: a stem is the part as it is in the mix.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from groove.band.part import BASS, CHORDAL, CLICK, DRUMS
from groove.sound.mix.gain_curve import GainCurve
from groove.sound.mix.limiter import decibels_over, lowered_by

if TYPE_CHECKING:
    from collections.abc import Mapping

    from groove.sound.mix.gain_curve import Levels
    from groove.sound.mix.levels import PartLevel
    from groove.sound.mix.mix_settings import Compressor, MixSettings
    from groove.sound.mix.recording import Recording


@dataclass(frozen=True)
class Channel:
    """The processing of a part: its fader in dB, and the gain curve of its compressor, if any.

    loudness: about that of the part afterwards, LUFS.
    """

    fader: float
    compressor: GainCurve | None = None
    loudness: float = -math.inf

    @property
    def factor(self) -> float:
        """The gain of the fader as a factor."""
        return float(10 ** (self.fader / 20))

    @property
    def compressed(self) -> float:
        """The most by which the compressor lowers the part, in dB."""
        return self.compressor.reduction_db if self.compressor else 0.0

    def peaks(self, before: Levels) -> Levels:
        """Upper bounds of the peaks of slices afterwards, as the gain moves within a slice."""
        lowered: Levels = before * np.float32(self.factor)
        if self.compressor:
            lowered *= _highest(self.compressor)
        return lowered


def channels(levels: Mapping[str, PartLevel], settings: MixSettings) -> dict[str, Channel]:
    """The channels for parts with these levels."""
    curves = {
        part: _compressed(level, settings.compressors.get(part)) for part, level in levels.items()
    }
    changes = {part: _change(level.peaks, curves[part]) for part, level in levels.items()}
    loudness = {part: level.loudness + changes[part] for part, level in levels.items()}
    faders = _faders(loudness, settings)
    moves = {part: faders.get(part, 0.0) for part in levels}
    register = {
        part: level.register * 10 ** ((changes[part] + moves[part]) / 10)
        for part, level in levels.items()
        if part != CLICK
    }
    yielded = _yielded(register, settings)
    moves |= {part: moves[part] - yielded for part in CHORDAL if part in moves}
    moves = {part: move + settings.levels.get(part, 0.0) for part, move in moves.items()}
    return {
        part: Channel(moves[part], curves[part], loudness[part] + moves[part]) for part in levels
    }


def expected_loudness(by_part: Mapping[str, Channel]) -> float:
    """About the loudness of all parts together, LUFS: as if none were in step with another."""
    energy = sum(10 ** (channel.loudness / 10) for channel in by_part.values())
    return 10 * math.log10(energy) if energy else -math.inf


def mix_down(recording: Recording, by_part: Mapping[str, Channel]) -> Recording:
    """A recording with its parts' channels at work."""
    return replace(
        recording,
        faders={part: channel.factor for part, channel in by_part.items()},
        compressors={
            part: channel.compressor for part, channel in by_part.items() if channel.compressor
        },
    )


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


def _yielded(register: Mapping[str, float], settings: MixSettings) -> float:
    """By how many dB the players of chords are softer, so that they leave the middle register to a
    soloist, see `MixSettings.register`.

    register: the energy of each part there, before.
    """
    chords = sum(energy for part, energy in register.items() if part in CHORDAL)
    others = sum(register.values()) - chords
    if not (chords and others and settings.register < 1):
        return 0.0
    allowed = others * settings.register / (1 - settings.register)
    return max(0.0, min(settings.yields, 10 * math.log10(chords / allowed)))


def _compressed(level: PartLevel, compressor: Compressor | None) -> GainCurve | None:
    """The gain curve of a compressor on a part; it goes down ahead of a stroke, as a limiter's."""
    peaks, loudness = level.peaks, level.loudness
    if compressor is None or not math.isfinite(loudness):
        return None
    over = decibels_over(peaks, 10 ** ((loudness + compressor.above) / 20))
    over *= np.float32(1 - 1 / compressor.ratio)
    return lowered_by(over) if over.any() else None


def _change(peaks: Levels, curve: GainCurve | None) -> float:
    """The change in loudness by a gain curve on a part with these peaks, roughly, in dB."""
    if curve is None:
        return 0.0
    energy = np.square(peaks)
    whole = float(energy.sum(dtype=np.float64))
    energy *= np.square(_highest(curve))
    kept = float(energy.sum(dtype=np.float64))
    return 10 * math.log10(kept / whole) if whole else 0.0


def _highest(curve: GainCurve) -> Levels:
    """The highest gain in each slice."""
    return np.maximum(curve.gains[:-1], curve.gains[1:])
