"""A band at its desk: compressors and faders, set by what each part sounds like.

All of it is settled before the gain for the loudness and the limiters (`mastering.py`), and does
not depend on which files are asked for: a stem is the part as it is in the mix.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from groove.band.part import PLAYERS
from groove.sound.mix.limiter import Plan, decibels_over, lowered_by
from groove.sound.parallel import for_each

if TYPE_CHECKING:
    from collections.abc import Mapping

    from groove.sound.mix.levels import PartLevel
    from groove.sound.mix.limiter import Levels
    from groove.sound.mix.mix_settings import Compressor, Desk
    from groove.sound.mix.recording import Recording
    from groove.sound.samples import Samples


@dataclass(frozen=True)
class Channel:
    """What is done to a part: its fader in dB, and what its compressor does."""

    fader: float
    compressor: Plan

    def work(self, first: int, samples: Samples) -> None:
        """Do it to `samples`, which begin at frame `first`."""
        self.compressor.apply(samples, first)
        samples *= np.float32(10 ** (self.fader / 20))

    def peaks(self, before: Levels) -> Levels:
        """What becomes of the peaks of slices: at most this, as the gain moves within a slice."""
        gains = self.compressor.gains
        lowered: Levels = before * np.maximum(gains[:-1], gains[1:])
        lowered *= np.float32(10 ** (self.fader / 20))
        return lowered


def channels(levels: Mapping[str, PartLevel], desk: Desk) -> dict[str, Channel]:
    """What the desk does to parts that are as loud as this."""
    plans = {part: _compressed(level, desk.compressors.get(part)) for part, level in levels.items()}
    loudness = {
        part: level.loudness + _change(level.peaks, plans[part]) for part, level in levels.items()
    }
    faders = _faders(loudness, desk)
    return {part: Channel(faders.get(part, 0.0), plans[part]) for part in levels}


@dataclass(frozen=True)
class MixedPart:
    """What has become of a part: by how many dB its fader was moved and its compressor lowered it
    at most, and the peaks of its slices."""

    fader: float
    compressed: float
    peaks: Levels


def mix_down(
    recording: Recording, levels: Mapping[str, PartLevel], desk: Desk
) -> dict[str, MixedPart]:
    """Put every part of a recording, as loud as this, through the desk, for good."""
    settings = channels(levels, desk)
    for_each(lambda part: recording.tapes[part].change(settings[part].work), list(settings))
    return {
        part: MixedPart(
            channel.fader, channel.compressor.reduction_db, channel.peaks(levels[part].peaks)
        )
        for part, channel in settings.items()
    }


def _faders(loudness: Mapping[str, float], desk: Desk) -> dict[str, float]:
    """How far each part is moved, in dB, towards the balance that is wanted of it.

    What the players are moved by on the average is nothing: the gain comes later.
    """
    off = {
        part: wanted - loudness[part]
        for part, wanted in desk.balance.items()
        if part in loudness and math.isfinite(loudness[part])
    }
    players = [off[part] for part in PLAYERS if part in off]
    if not players:
        return {}
    middle = sum(players) / len(players)
    return {part: max(-desk.fader, min(desk.fader, each - middle)) for part, each in off.items()}


def _compressed(level: PartLevel, compressor: Compressor | None) -> Plan:
    """What a compressor does to a part. It comes down ahead of a stroke, like the limiter."""
    peaks, loudness = level.peaks, level.loudness
    if compressor is None or not math.isfinite(loudness):
        return Plan(np.ones(len(peaks) + 1, dtype=np.float32))
    over = decibels_over(peaks, 10 ** ((loudness + compressor.above) / 20))
    return lowered_by(over * np.float32(1 - 1 / compressor.ratio))


def _change(peaks: Levels, plan: Plan) -> float:
    """By how much a plan changes the loudness of a part with these peaks, roughly, in dB."""
    energy = np.square(peaks)
    whole = float(energy.sum(dtype=np.float64))
    energy *= np.square(np.maximum(plan.gains[:-1], plan.gains[1:]))
    kept = float(energy.sum(dtype=np.float64))
    return 10 * math.log10(kept / whole) if whole else 0.0
