"""A recording mixed down: any of its mixes with the master's gain, limited where it is mastered."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.limiter import CEILING, Plan, plan, slice_peaks, true_peaks
from groove.sound.listening import Level
from groove.sound.loudness import integrated, loudness_range
from groove.sound.recording import Loop, Passage, Recording

if TYPE_CHECKING:
    from collections.abc import Iterator

    from groove.sound.mastering import Master
    from groove.sound.mixes import Mix
    from groove.sound.side_by_side import Step
    from groove.sound.synth import Samples


@dataclass(frozen=True)
class Mixdown:
    """A recording, its loop if it is one, its master, and the mix that the master is of."""

    recording: Recording
    loop: Loop | None
    master: Master
    whole: Mix

    @property
    def frames(self) -> int:
        """How long every mix is."""
        return Passage(self.recording, self.whole.parts, self.loop).frames

    def blocks(self, mix: Mix) -> Iterator[Samples]:
        """A mix from its first frame to its last, each time in the same array."""
        passage = Passage(self.recording, mix.parts, self.loop)
        planned = self.plan(mix) if mix.mastered else None
        first = 0
        for block in passage.blocks():
            block *= np.float32(self.master.gain)
            if planned:
                planned.apply(block, first)
            first += len(block)
            yield block

    def plan(self, mix: Mix) -> Plan:
        """What the limiter does to a mix, with the same gain as to the whole band."""
        if mix.parts == self.whole.parts:
            return self.master.plan
        passage = Passage(self.recording, mix.parts, self.loop)
        gain = self.master.gain
        peaks = np.concatenate([slice_peaks(block) for block in passage.blocks()])
        return plan(true_peaks(passage.blocks(), peaks, CEILING / gain), gain)


@dataclass(frozen=True)
class Measured:
    """A mix as it is written: LUFS, dBTP, LU, and the limiter's most in dB."""

    loudness: float
    true_peak: float
    loudness_range: float
    limiter: float


def measure(mixdown: Mixdown, mix: Mix, step: Step) -> Measured:
    """Hear a mix as it is written, once for its loudness and once for its peaks."""
    level = Level()
    for block in mixdown.blocks(mix):
        level.hear(block)
        step(len(block))
    peak = float(true_peaks(mixdown.blocks(mix), level.peaks, float(level.peaks.max())).max())
    return Measured(
        integrated(level.energies),
        20 * math.log10(max(peak, 1e-10)),
        loudness_range(level.energies),
        mixdown.plan(mix).reduction_db,
    )
