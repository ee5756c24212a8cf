"""Sets the gain for the target loudness and limits the peaks that then exceed the ceiling.

There is a limiter on the mix, and one on each part, which keeps the part by itself under the
ceiling, so that its stem can be written with the mix's gain. Stems go through their parts'
limiters, so they sum to the input of the mix's limiter.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.mix.gain_curve import SLICE, GainCurve
from groove.sound.mix.levels import level_of
from groove.sound.mix.limiter import CEILING, CHUNK, gain_curve
from groove.sound.mix.loudness import EXACT, QUICK, integrated
from groove.sound.mix.peaks import Peaks, block_peaks, peaks_again, true_peaks
from groove.sound.mix.recording import blocks_of
from groove.sound.parallel import for_each
from groove.sound.samples import SAMPLE_RATE

if TYPE_CHECKING:
    from collections.abc import Mapping

    from numpy.typing import NDArray

    from groove.sound.mix.gain_curve import Levels, Marks
    from groove.sound.mix.levels import Level
    from groove.sound.mix.loudness import Energies, Gauge
    from groove.sound.mix.recording import Passage
    from groove.sound.mixes import Mix
    from groove.sound.samples import Samples

LITTLE_DB = 0.5
"""Loudness lost to the limiters that more gain alone makes up for: parts stay below full scale. If
more is lost, everything is limited anew with more gain."""

ROUNDS = 6

MARGIN_DB = 1.0
"""By so much the loudness of a mix may be below what that of its parts lets expect."""

LONG = 60 * SAMPLE_RATE
"""Frames from which on a quick estimate of the loudness is as good as the meter's: that may take a
window for music that the meter leaves out, or the other way round, which counts in a short one."""


@dataclass(frozen=True)
class Master:
    """A passage with its parts' limiters at work, its gain (a factor), and the gain curve of the
    limiter on the mix.

    short: by how many LU the whole band stays below the loudness that was asked for. peak: the
    highest before the limiter on the mix, full scale 1.
    """

    passage: Passage
    gain: float
    limiter: GainCurve
    short: float = 0.0
    peak: float = math.inf

    @property
    def frames(self) -> int:
        """The length of every mix in frames."""
        return self.passage.frames

    @property
    def part_limiters(self) -> dict[str, GainCurve]:
        """The gain curves of the limiters on parts of this mix, by part."""
        limiters = self.passage.recording.limiters
        return {part: limiters[part] for part in self.passage.parts if part in limiters}

    @property
    def most_db(self) -> float:
        """The most by which anything is lowered at any moment, by the limiter on its part and
        that on the mix together, in dB."""
        gains = self.limiter.gains.copy()
        for limiter in self.part_limiters.values():
            count = min(len(gains), len(limiter.gains))
            both = self.limiter.gains[:count] * limiter.gains[:count]
            np.minimum(gains[:count], both, out=gains[:count])
        return GainCurve(gains).reduction_db

    def read(self, first: int, samples: Samples) -> None:
        """Fill `samples` with the mastered mix from frame `first` on."""
        self.passage.read(first, samples)
        samples *= np.float32(self.gain)
        self.limiter.apply(samples, first)

    def of(self, mix: Mix, room_db: float = 0.0) -> Master:
        """Another mix with the same gain and a limiter of its own; a stem has only its part's.

        room_db: by how many dB more than usual the peaks are to stay under full scale.
        """
        if not room_db and mix.mastered and mix.parts == self.passage.parts:
            return self
        passage = replace(self.passage, parts=mix.parts)
        if not room_db and not mix.mastered:
            return replace(self, passage=passage, limiter=GainCurve(np.ones(0, dtype=np.float32)))
        ceiling = CEILING / _factor(room_db)
        near = ceiling / self.gain
        blocks = [block_peaks(block, near) for block in blocks_of(passage, passage.frames)]
        found = true_peaks(passage, Peaks.joined(blocks), near)
        return _with_limiter(passage, found, self.gain, ceiling)


def master(
    passage: Passage, part_peaks: Mapping[str, Levels], target: float, expected: float
) -> Master:
    """The master that has the integrated loudness `target` (LUFS) after its limiters.

    part_peaks: of the slices of each part, without gain. expected: about the loudness that the
    passage has, which saves time. A track below the loudness meter's gate is left as it is.
    """
    most = target - expected + LITTLE_DB + MARGIN_DB
    near = CEILING / _factor(most) if math.isfinite(most) else math.inf
    gauge = QUICK if passage.frames >= LONG else EXACT
    level = level_of(passage, passage.frames, gauge, near)
    loudness = integrated(level.energies)
    decibels = target - loudness if math.isfinite(loudness) else 0.0
    for _ in range(ROUNDS):
        draft, peaks, reached = _limited(passage, level, gauge, part_peaks, decibels)
        lost = target - reached if math.isfinite(loudness) else 0.0
        if lost < LITTLE_DB:
            return _with_limiter(draft.passage, peaks, draft.gain * _factor(lost))
        decibels += lost
    return replace(draft, short=lost)


def _limited(
    passage: Passage,
    level: Level,
    gauge: Gauge,
    part_peaks: Mapping[str, Levels],
    decibels: float,
) -> tuple[Master, Levels, float]:
    """A passage with a gain in dB and all limiters at work, its peaks without the gain, and the
    loudness that results."""
    gain, before = _factor(decibels), level.peaks
    changed = np.zeros(len(before.peaks), dtype=bool)
    limiters = {
        part: gain_curve(found, gain)
        for part, found in part_peaks.items()
        if found.max(initial=0) * gain > CEILING
    }
    if limiters:
        passage = replace(passage, recording=replace(passage.recording, limiters=limiters))
        for limiter in limiters.values():
            _mark(changed, limiter.lowered)
        before = peaks_again(passage, before, changed)
    peaks = true_peaks(passage, before, CEILING / _factor(decibels + LITTLE_DB))
    del before  # an hour has 12 MB of it
    draft = _with_limiter(passage, peaks, gain)
    _mark(changed, draft.limiter.lowered)
    energies = _energies_again(draft, level.energies * gain**2, changed, gauge)
    return draft, peaks, integrated(energies)


def _with_limiter(passage: Passage, peaks: Levels, gain: float, ceiling: float = CEILING) -> Master:
    """A passage with these peaks, a gain and the limiter that this needs."""
    limiter = gain_curve(peaks, gain, ceiling, passage.bounds)
    return Master(passage, gain, limiter, peak=float(peaks.max(initial=0)) * gain)


def _energies_again(mastered: Master, energies: Energies, changed: Marks, gauge: Gauge) -> Energies:
    """The energies of a mix by a gauge, measured anew where slices have changed."""
    found = energies.copy()
    marks = np.zeros(len(energies) + 1, dtype=bool)
    for first in range(0, len(changed), CHUNK):  # numbers of slices take much memory
        numbers = first + np.flatnonzero(changed[first : first + CHUNK])
        marks[np.minimum(numbers * SLICE // gauge.frames, len(energies))] = True
    if gauge.before:  # the meter's filters ring on
        marks[1:] |= marks[:-1].copy()
    places = np.flatnonzero(marks[:-1])
    runs = np.split(places, np.flatnonzero(np.diff(places) > 1) + 1) if len(places) else []
    most = gauge.chunk // gauge.frames

    def measure(run: NDArray[np.int_]) -> None:
        first, last = int(run[0]) * gauge.frames, (int(run[-1]) + 1) * gauge.frames
        sound = np.empty((gauge.before + min(last, mastered.frames) - first, 2), dtype=np.float32)
        mastered.read(first - gauge.before, sound)
        found[run] = gauge.energies(sound)

    for_each(measure, [run[at : at + most] for run in runs for at in range(0, len(run), most)])
    return found


def _mark(marks: Marks, more: Marks) -> None:
    """Add the marks of `more` to `marks`; one may be longer."""
    count = min(len(marks), len(more))
    marks[:count] |= more[:count]


def _factor(decibels: float) -> float:
    return float(10 ** (decibels / 20))
