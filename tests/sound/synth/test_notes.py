"""Single notes and strokes come dry, whole, and as the track has them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth.notes import Notes
from tests.sound.sound_material import centroid

if TYPE_CHECKING:
    from groove.sound.synth.soundfonts import Fonts

SNARE = 38


def test_a_note_lasts_as_long_as_it_is_held(fonts: Fonts) -> None:
    with Notes(fonts.main) as notes:
        sound = notes.note(16, 60, 100, seconds=1.5, held=0.5)
    assert sound.shape == (64 * round(1.5 * SAMPLE_RATE / 64), 2)
    level = np.abs(sound).max()
    assert np.abs(sound[20_000:22_000]).max() > 0.3 * level
    assert np.abs(sound[-8000:]).max() < 0.01 * level


def test_a_note_sounds_the_same_each_time(fonts: Fonts) -> None:
    with Notes(fonts.main) as notes:
        first = notes.note(4, 60, 100, seconds=0.5, held=0.4)
        notes.note(33, 40, 100, seconds=0.5, held=0.4, strength=20, way=3)
        assert np.array_equal(first, notes.note(4, 60, 100, seconds=0.5, held=0.4))


def test_a_note_has_the_tone_of_its_strength(fonts: Fonts) -> None:
    with Notes(fonts.main) as notes:
        tones = [
            centroid(notes.note(0, 50, 100, seconds=0.4, held=0.4, strength=strength).mean(axis=1))
            for strength in (24, 120, None)
        ]
    assert 1.3 * tones[0] < tones[1] <= 1.02 * tones[2]


def test_a_stroke_is_whole(fonts: Fonts) -> None:
    with Notes(fonts.main) as notes:
        open_, soft = notes.stroke(0, SNARE, 60), notes.stroke(0, SNARE, 60, way=0)
        assert notes.stroke_gain(0, SNARE, 60, 60) == pytest.approx(1, rel=0.1)
    assert centroid(open_.mean(axis=1)) > 1.2 * centroid(soft.mean(axis=1))


def test_the_gain_of_a_note_is_the_soundfont_s_own_step(fonts: Fonts) -> None:
    with Notes(fonts.main) as notes:
        soft, hard = (
            np.abs(notes.note(33, 40, velocity, seconds=0.3, held=0.3)).max()
            for velocity in (50, 100)
        )
        assert notes.note_gain(33, 40, 50, 100) == pytest.approx(hard / soft, rel=0.1)
        assert notes.note_gain(33, 40, 80, 80) == 1
