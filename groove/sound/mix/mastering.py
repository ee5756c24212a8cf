"""The gain that brings a track to its loudness, and what becomes of peaks that are too high then.

There is a limiter on the mix; and one on each part, which sees to it that no part by itself passes
the ceiling, so that its stem can be written with the mix's gain. Stems go through their parts'
limiters, so they sum to what the one on the mix gets.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.mix.levels import level_of
from groove.sound.mix.limiter import CEILING, SLICE, Plan, peaks_again, plan, true_peaks
from groove.sound.mix.loudness import STEP, Meter, integrated
from groove.sound.parallel import for_each

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from groove.sound.mix.levels import Level
    from groove.sound.mix.limiter import Levels, Marks
    from groove.sound.mix.loudness import Energies
    from groove.sound.mix.recording import Passage
    from groove.sound.mixes import Mix
    from groove.sound.samples import Samples

LITTLE_DB = 0.5
"""Loudness lost to the limiters that the gain can make up for as it is: parts stay below full
scale. For more, everything is limited anew with more gain."""

ROUNDS = 6


@dataclass(frozen=True)
class Master:
    """A passage with its parts' limiters at work, its gain (a factor), and the plan for the
    limiter on the mix.

    short: by how many LU the whole band stays below the loudness that was asked for.
    """

    passage: Passage
    gain: float
    limiter: Plan
    short: float = 0.0

    @property
    def frames(self) -> int:
        """How long every mix is."""
        return self.passage.frames

    @property
    def part_limiters(self) -> dict[str, Plan]:
        """What is done about parts of this mix, by their names."""
        plans = self.passage.recording.plans
        return {part: plans[part] for part in self.passage.parts if part in plans}

    @property
    def most_db(self) -> float:
        """The most by which anything is lowered at any moment, by the limiter on its part and
        that on the mix together, in dB."""
        gains = self.limiter.gains.copy()
        for planned in self.part_limiters.values():
            count = min(len(gains), len(planned.gains))
            both = self.limiter.gains[:count] * planned.gains[:count]
            np.minimum(gains[:count], both, out=gains[:count])
        return Plan(gains).reduction_db

    def read(self, first: int, samples: Samples) -> None:
        """Fill `samples` with the mastered mix from frame `first` on."""
        self.passage.read(first, samples)
        samples *= np.float32(self.gain)
        self.limiter.apply(samples, first)

    def of(self, mix: Mix, room_db: float = 0.0) -> Master:
        """Another mix with the same gain, limited as it needs it; a stem isn't, for its part is.

        room_db: by how many dB more than usual all of them are to stay under full scale.
        """
        if not room_db and mix.mastered and mix.parts == self.passage.parts:
            return self
        passage = replace(self.passage, parts=mix.parts)
        if not room_db and not mix.mastered:
            return replace(self, passage=passage, limiter=Plan(np.ones(0, dtype=np.float32)))
        slices = -(-passage.frames // SLICE)
        peaks = np.zeros(slices, dtype=np.float32)
        peaks = peaks_again(passage, peaks, np.ones(slices, dtype=bool))
        ceiling = CEILING / _factor(room_db)
        peaks = true_peaks(passage, peaks, ceiling / self.gain)
        return _with_limiter(passage, peaks, self.gain, ceiling)


def master(passage: Passage, part_peaks: Mapping[str, Levels], target: float) -> Master:
    """What brings a passage to the integrated loudness `target` (LUFS), the limiters counted in.

    part_peaks: of the slices of each part, without gain. A track that is silent to the loudness
    meter is left as it is.
    """
    level = level_of(passage, passage.frames)
    loudness = integrated(level.energies)
    decibels = target - loudness if math.isfinite(loudness) else 0.0
    for _ in range(ROUNDS):
        draft, peaks, reached = _limited(passage, level, part_peaks, decibels)
        lost = target - reached if math.isfinite(loudness) else 0.0
        if lost < LITTLE_DB:
            return _with_limiter(draft.passage, peaks, draft.gain * _factor(lost))
        decibels += lost
    return replace(draft, short=lost)


def _limited(
    passage: Passage,
    level: Level,
    part_peaks: Mapping[str, Levels],
    decibels: float,
) -> tuple[Master, Levels, float]:
    """A passage with a gain in dB and all limiters at work, its peaks, which they go by, without
    the gain, and the loudness that is left."""
    gain, peaks = _factor(decibels), level.peaks
    changed = np.zeros(len(peaks), dtype=bool)
    plans = {
        part: plan(found, gain)
        for part, found in part_peaks.items()
        if found.max(initial=0) * gain > CEILING
    }
    if plans:
        passage = replace(passage, recording=replace(passage.recording, plans=plans))
        for planned in plans.values():
            _mark(changed, planned.lowered)
        peaks = peaks_again(passage, peaks, changed)
    peaks = true_peaks(passage, peaks, CEILING / _factor(decibels + LITTLE_DB))
    draft = _with_limiter(passage, peaks, gain)
    _mark(changed, draft.limiter.lowered)
    return draft, peaks, integrated(_energies_again(draft, level.energies * gain**2, changed))


def _with_limiter(passage: Passage, peaks: Levels, gain: float, ceiling: float = CEILING) -> Master:
    """A passage with these peaks, and what the limiter makes of them with a gain."""
    return Master(passage, gain, plan(peaks, gain, ceiling, passage.bounds))


def _energies_again(mastered: Master, energies: Energies, changed: Marks) -> Energies:
    """The energies of a mix's steps, those anew in which slices have been changed."""
    found = energies.copy()
    steps = np.unique(np.flatnonzero(changed) * SLICE // STEP)
    steps = np.unique(np.concatenate([steps, steps + 1]))  # the meter's filters ring on
    steps = steps[steps < len(energies)]
    runs = np.split(steps, np.flatnonzero(np.diff(steps) > 1) + 1) if len(steps) else []

    def measure(run: NDArray[np.int_]) -> None:
        meter = Meter()
        samples = np.empty(((len(run) + 1) * STEP, 2), dtype=np.float32)
        mastered.read((int(run[0]) - 1) * STEP, samples)
        meter.hear(samples)
        found[run] = meter.energies[1:]

    for_each(measure, runs)
    return found


def _mark(marks: Marks, more: Marks) -> None:
    """Mark what is marked in either; one may be longer."""
    count = min(len(marks), len(more))
    marks[:count] |= more[:count]


def _factor(decibels: float) -> float:
    return float(10 ** (decibels / 20))
