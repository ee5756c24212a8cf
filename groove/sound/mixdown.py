"""The mixes as they are written: with the master's gain, and limited where they are mastered."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np

from groove.sound.limiter import CEILING, Plan, plan, slice_peaks, true_peaks
from groove.sound.listening import Level
from groove.sound.loudness import integrated, loudness_range

if TYPE_CHECKING:
    from collections.abc import Iterator

    from groove.sound.mastering import Master
    from groove.sound.mixes import Mix
    from groove.sound.side_by_side import Step
    from groove.sound.synth import Samples


def blocks_of(mix: Mix, master: Master) -> Iterator[Samples]:
    """A mix from its first frame to its last, each time in the same array."""
    planned = plan_of(mix, master) if mix.mastered else None
    first = 0
    for block in replace(master.passage, parts=mix.parts).blocks():
        block *= np.float32(master.gain)
        if planned:
            planned.apply(block, first)
        first += len(block)
        yield block


def plan_of(mix: Mix, master: Master) -> Plan:
    """What the limiter does to a mix, with the same gain as to the whole band."""
    if mix.parts == master.passage.parts:
        return master.plan
    passage = replace(master.passage, parts=mix.parts)
    peaks = np.concatenate([slice_peaks(block) for block in passage.blocks()])
    return plan(true_peaks(passage.blocks(), peaks, CEILING / master.gain), master.gain)


@dataclass(frozen=True)
class Measured:
    """A mix as it is written: LUFS, dBTP, LU, and the limiter's most in dB."""

    loudness: float
    true_peak: float
    loudness_range: float
    limiter: float


def measure(mix: Mix, master: Master, step: Step) -> Measured:
    """Hear a mix as it is written, once for its loudness and once for its peaks."""
    level = Level()
    for block in blocks_of(mix, master):
        level.hear(block)
        step(len(block))
    peak = float(true_peaks(blocks_of(mix, master), level.peaks, float(level.peaks.max())).max())
    return Measured(
        integrated(level.energies),
        20 * math.log10(max(peak, 1e-10)),
        loudness_range(level.energies),
        plan_of(mix, master).reduction_db,
    )
