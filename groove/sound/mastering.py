"""The gain that brings a track to its loudness, and what the limiter then does."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from groove.sound.limiter import CEILING, Plan, plan, true_peaks
from groove.sound.loudness import STEP, integrated

if TYPE_CHECKING:
    from groove.sound.listening import Level
    from groove.sound.recording import Passage

ROUNDS = 4
CLOSE_LU = 0.02
MOST_EXTRA_DB = 3.0
"""How much the gain makes up for at most of what the limiter takes away."""


@dataclass(frozen=True)
class Master:
    """A gain (a factor) and the limiter's plan for the whole band with that gain."""

    gain: float
    plan: Plan


def master(passage: Passage, level: Level, target: float) -> Master:
    """What brings a passage to the integrated loudness `target` (LUFS), the limiter counted in.

    level: of the passage. A track that is silent to the loudness meter is left as it is. Heavy
    limiting takes away loudness that the gain makes up for, a few decibels at most.
    """
    peaks, energies = level.peaks, level.energies
    loudness = integrated(energies)
    if not math.isfinite(loudness):
        return Master(1.0, plan(peaks, 1.0))
    wanted = target - loudness
    peaks = true_peaks(passage.blocks(), peaks, CEILING / _factor(wanted + MOST_EXTRA_DB))
    decibels = wanted
    for _ in range(ROUNDS):
        planned = plan(peaks, _factor(decibels))
        kept = planned.energy_kept(STEP)[: len(energies)]
        reached = integrated(energies[: len(kept)] * kept) + decibels
        if abs(target - reached) < CLOSE_LU or decibels >= wanted + MOST_EXTRA_DB:
            break
        decibels = min(decibels + target - reached, wanted + MOST_EXTRA_DB)
    return Master(_factor(decibels), plan(peaks, _factor(decibels)))


def _factor(decibels: float) -> float:
    return float(10 ** (decibels / 20))
