"""The gain that brings a track to its loudness, and what becomes of peaks that are too high then.

As on a mixing desk, there is a limiter on each part and one on the mix. Those on the parts see to
it that no part by itself passes full scale, so that its stem can be written with the mix's gain;
the one on the mix keeps its true peaks under the ceiling.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.limiter import CEILING, Plan, limited, plan, slice_peaks, true_peaks
from groove.sound.loudness import integrated

if TYPE_CHECKING:
    from collections.abc import Mapping

    from groove.sound.limiter import Levels
    from groove.sound.listening import Level
    from groove.sound.loudness import Energies
    from groove.sound.recording import Passage

ROUNDS = 5
CLOSE_LU = 0.02
MOST_EXTRA_DB = 1.0
"""How much the gain makes up for at most of what the limiters take away."""


@dataclass(frozen=True)
class Master:
    """A passage of the whole band with its parts' limiters at work, its gain (a factor), and the
    plan for the limiter on it."""

    passage: Passage
    gain: float
    plan: Plan


def master(
    passage: Passage, level: Level, part_peaks: Mapping[str, Levels], target: float
) -> Master:
    """What brings a passage to the integrated loudness `target` (LUFS), the limiters counted in.

    level: of the passage; part_peaks: of each part's slices; both without gain. A track that is
    silent to the loudness meter is left as it is.
    """
    loudness = integrated(level.energies)
    if not math.isfinite(loudness):
        return Master(passage, 1.0, plan(level.peaks, 1.0))
    wanted = target - loudness
    before = level.peaks
    passage, peaks = _parts_limited(passage, before, part_peaks, _factor(wanted))
    peaks = true_peaks(passage.blocks(), peaks, CEILING / _factor(wanted + MOST_EXTRA_DB))
    decibels = wanted
    for _ in range(ROUNDS):
        left = limited(peaks, plan(peaks, _factor(decibels)))
        reached = integrated(_kept(level.energies, before, left)) + decibels
        decibels = min(decibels + target - reached, wanted + MOST_EXTRA_DB)
        if abs(target - reached) < CLOSE_LU:
            break
    return Master(passage, _factor(decibels), plan(peaks, _factor(decibels)))


def _parts_limited(
    passage: Passage, peaks: Levels, part_peaks: Mapping[str, Levels], gain: float
) -> tuple[Passage, Levels]:
    """The passage with the parts limited that need it, and its peaks then."""
    plans = {part: plan(high, gain) for part, high in part_peaks.items()}
    needed = {part: planned for part, planned in plans.items() if planned.reduction_db > 0}
    if not needed:
        return passage, peaks
    passage = replace(passage, recording=replace(passage.recording, plans=needed))
    return passage, np.concatenate([slice_peaks(block) for block in passage.blocks()])


def _kept(energies: Energies, before: Levels, after: Levels) -> Energies:
    """About what is left of the energy of each step, to judge by the peaks of the slices in it."""
    slices = min(len(before), len(after))
    edges = np.linspace(0, slices, len(energies) + 1).astype(int)[:-1]
    powers = (np.add.reduceat(np.square(p[:slices], dtype=float), edges) for p in (after, before))
    left, whole = powers
    kept: Energies = energies * np.divide(left, whole, out=np.ones_like(left), where=whole > 0)
    return kept


def _factor(decibels: float) -> float:
    return float(10 ** (decibels / 20))
