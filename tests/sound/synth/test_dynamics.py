"""Notes are struck at their written velocity, and are as loud as the mix plays them."""

from __future__ import annotations

import ctypes
from typing import TYPE_CHECKING

import numpy as np
import pytest

from groove.sound.mix.mix_settings import MixSettings
from groove.sound.synth.scores import scores
from groove.sound.synth.synth import Synth
from tests.sound.sound_material import midi_of

if TYPE_CHECKING:
    from groove.sound.synth.soundfonts import Fonts
    from tests.sound.sound_material import Wave

SETTINGS = MixSettings(weight={"bass": 0.4})


def played(fonts: Fonts, program: int, velocity: int, *, even: bool) -> Wave:
    """The first half second of a note of the bass as the mix plays it."""
    (score,) = scores(midi_of({0: [(0, 2, 45, velocity)]}, {0: program}))
    block = (ctypes.c_float * (2 * 64 * 345))()
    with Synth(fonts.main, SETTINGS.weigh(score).events, even=even) as synth:
        synth.fill(block)
    return np.frombuffer(block, np.float32).reshape(-1, 2).mean(axis=1, dtype=np.float64)


@pytest.mark.parametrize("program", [0, 25, 33])
def test_the_bottom_of_a_note_is_as_loud_as_its_played_velocity(fonts: Fonts, program: int) -> None:
    """Below 150 Hz, which the filter leaves alone, within 2 dB of the soundfont's own step."""
    steps = []
    for even in (True, False):
        low = []
        for velocity in (40, 110):
            power = np.abs(np.fft.rfft(played(fonts, program, velocity, even=even))) ** 2
            low.append(10 * np.log10(power[:75].sum()))
        steps.append(low[1] - low[0])
    assert 4 < steps[0] < 11
    assert abs(steps[0] - steps[1]) < 2


def test_levels_rise_with_the_written_velocity(fonts: Fonts) -> None:
    levels = [
        np.square(played(fonts, 0, velocity, even=False)).sum() for velocity in range(10, 128, 13)
    ]
    assert levels == sorted(levels)
