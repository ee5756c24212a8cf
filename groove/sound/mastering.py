"""The gain that brings a track to its loudness, and what becomes of peaks that are too high then.

As on a mixing desk there is a limiter on each part, a fader for the whole band and a limiter on
the mix. Those on the parts see to it that no part by itself passes full scale, so that its stem
can be written with the mix's gain. The fader is ridden where everybody strikes together: down a
little before, and slowly up again, stems and all, so that they still sum to what the limiter gets.
What the fader leaves to it is so little that it cannot be heard at work.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.limiter import (
    CEILING,
    SLICE,
    Pace,
    Plan,
    peaks_again,
    plan,
    slice_peaks,
    true_peaks,
)
from groove.sound.loudness import STEP, Meter, integrated
from groove.sound.recording import blocks_of
from groove.sound.side_by_side import for_each
from groove.sound.stems import BLOCK
from groove.sound.timeline import SAMPLE_RATE

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from groove.sound.limiter import Levels, Marks
    from groove.sound.listening import Level
    from groove.sound.loudness import Energies
    from groove.sound.mixes import Mix
    from groove.sound.recording import Passage
    from groove.sound.synth import Samples

LITTLE_DB = 1.0
"""Loudness lost to the limiters that the gain can make up for as it is: parts stay below full
scale. For more, everything is limited anew with more gain."""

ROUNDS = 6

LIMITER_MOST_DB = 2.5
"""What is left to the limiter at most; the fader takes the rest."""

FADER = Pace(80 * SLICE / SAMPLE_RATE, 10 * SLICE / SAMPLE_RATE, LIMITER_MOST_DB)
"""80 dB a second down, 10 back."""


@dataclass(frozen=True)
class Master:
    """A passage with its parts' limiters at work, its gain (a factor), and the plans for the fader
    and for the limiter on it."""

    passage: Passage
    gain: float
    fader: Plan
    limiter: Plan

    @property
    def frames(self) -> int:
        """How long every mix is."""
        return self.passage.frames

    def read(self, first: int, samples: Samples) -> None:
        """Fill `samples` with the mastered mix from frame `first` on."""
        self.passage.read(first, samples)
        samples *= np.float32(self.gain)
        self.fader.apply(samples, first)
        self.limiter.apply(samples, first)

    def of(self, mix: Mix) -> Master:
        """Another mix with the same gain and fader, limited as it needs it; a stem is not."""
        if mix.mastered and mix.parts == self.passage.parts:
            return self
        passage = replace(self.passage, parts=mix.parts)
        if not mix.mastered:
            return replace(self, passage=passage, limiter=Plan(np.ones(0, dtype=np.float32)))
        peaks = np.concatenate([slice_peaks(b) for b in blocks_of(passage, passage.frames)])
        peaks = self.fader.left(true_peaks(passage, peaks, CEILING / self.gain))
        return replace(self, passage=passage, limiter=plan(peaks, self.gain, loop=passage.bounds))


def master(
    passage: Passage, level: Level, part_peaks: Mapping[str, Sequence[float]], target: float
) -> Master:
    """What brings a passage to the integrated loudness `target` (LUFS), the limiters counted in.

    level: of the passage; part_peaks: the highest sample of each block of each part; both without
    gain. A track that is silent to the loudness meter is left as it is.
    """
    loudness = integrated(level.energies)
    decibels = target - loudness if math.isfinite(loudness) else 0.0
    for _ in range(ROUNDS):
        draft, peaks, reached = _limited(passage, level, part_peaks, decibels)
        lost = target - reached if math.isfinite(loudness) else 0.0
        if lost < LITTLE_DB:
            break
        decibels += lost
    return _with_plans(draft.passage, peaks, draft.gain * _factor(min(lost, LITTLE_DB)))


def _limited(
    passage: Passage, level: Level, part_peaks: Mapping[str, Sequence[float]], decibels: float
) -> tuple[Master, Levels, float]:
    """A passage with a gain in dB and all limiters at work, its peaks, which they go by, without
    the gain, and the loudness that is left."""
    gain, peaks = _factor(decibels), level.peaks
    changed = np.zeros(len(peaks), dtype=bool)
    plans = _part_plans(passage, part_peaks, gain)
    if plans:
        passage = replace(passage, recording=replace(passage.recording, plans=plans))
        for planned in plans.values():
            _mark(changed, planned.lowered)
        peaks = peaks_again(passage, peaks, changed)
    peaks = true_peaks(passage, peaks, CEILING / _factor(decibels + LITTLE_DB))
    draft = _with_plans(passage, peaks, gain)
    for planned in (draft.fader, draft.limiter):
        _mark(changed, planned.lowered)
    return draft, peaks, integrated(_energies_again(draft, level.energies * gain**2, changed))


def _with_plans(passage: Passage, peaks: Levels, gain: float) -> Master:
    """A passage with these peaks, and what fader and limiter make of them with a gain."""
    fader = plan(peaks, gain, FADER, passage.bounds)
    return Master(passage, gain, fader, plan(fader.left(peaks), gain, loop=passage.bounds))


def _part_plans(
    passage: Passage, part_peaks: Mapping[str, Sequence[float]], gain: float
) -> dict[str, Plan]:
    """What is to be done about each part that passes the ceiling by itself."""
    plans = {}
    for part, highest in part_peaks.items():
        over = np.repeat(np.array(highest) * gain > CEILING, BLOCK // SLICE)
        if over.any():
            alone = replace(passage, parts=(part,), loop=None)
            peaks = peaks_again(alone, np.zeros(len(over), dtype=np.float32), over)
            plans[part] = plan(peaks, gain)
    return plans


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
