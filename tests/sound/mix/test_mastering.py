"""The report of the limiters agrees with their gain curves."""

from __future__ import annotations

import numpy as np
import pytest

from groove.sound.mix.gain_curve import SLICE, GainCurve
from groove.sound.mix.mastering import Master
from groove.sound.mix.recording import Passage, Recording

FRAMES = 64 * SLICE


def limiter(at: int, decibels: float) -> GainCurve:
    gains = np.ones(65, dtype=np.float32)
    gains[at] = 10 ** (-decibels / 20)
    return GainCurve(gains)


@pytest.mark.parametrize(("of_bass", "of_mix", "most"), [(10, 10, 8), (10, 30, 6), (40, 20, 7)])
def test_the_most_is_that_of_one_part_at_one_moment(of_bass: int, of_mix: int, most: int) -> None:
    """Drums are lowered by 5 dB at slice 20, bass by 6 and the mix by 2, each somewhere."""
    limiters = {"drums": limiter(20, 5), "bass": limiter(of_bass, 6)}
    passage = Passage(Recording({}, FRAMES, limiters), tuple(limiters))
    master = Master(passage, 1.0, limiter(of_mix, 2))
    assert master.most_db == pytest.approx(most, abs=1e-4)
