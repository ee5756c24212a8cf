"""The sound of two bars."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
import pytest
import soundfile

from groove import read_form
from groove.screen.band.sounds import LOUDNESS, RINGS, Sounds
from groove.screen.band.two_bars import Wish, two_bars
from groove.sound.mix.loudness import EXACT, integrated
from groove.sound.samples import SAMPLE_RATE

FORM = read_form("one-chord-vamp", drums="bossa", tempo=180)
BARS = round(2 * 4 * 60 / 180 * SAMPLE_RATE)


@pytest.fixture(scope="module")
def sounds() -> Sounds:
    return Sounds()


def heard(sounds: Sounds, wish: Wish) -> Any:
    samples, rate = soundfile.read(io.BytesIO(sounds.wav(two_bars(FORM, wish))), dtype="float32")
    assert rate == SAMPLE_RATE
    return samples


def test_drums_begin_at_once_and_ring_out_after_two_bars(sounds: Sounds) -> None:
    found = heard(sounds, Wish("drums"))
    loud = np.abs(found).max(axis=1)
    assert np.flatnonzero(loud > 0.05)[0] < 0.03 * SAMPLE_RATE
    assert BARS < len(found) <= BARS + RINGS
    assert loud[-10:].max() < 0.002
    assert abs(integrated(EXACT.energies(_led(found[:BARS]))) - LOUDNESS) < 1.5


def test_those_beside_are_softer_than_in_the_whole_band(sounds: Sounds) -> None:
    """The bass's low notes have more of the sound where the drums are soft."""
    alone, whole = (
        heard(sounds, Wish("bass", whole=each))[:BARS].mean(axis=1) for each in (False, True)
    )
    low = [_share_below(samples, 200) for samples in (alone, whole)]
    assert low[0] > low[1]


def test_equal_wishes_sound_equal_whatever_was_heard_between(sounds: Sounds) -> None:
    first = sounds.wav(two_bars(FORM, Wish("drums")))
    sounds.wav(two_bars(FORM, Wish("drums", "rumba")))
    assert sounds.wav(two_bars(FORM, Wish("drums"))) == first


def _led(samples: Any) -> Any:
    """With the silence before it that the meter's filters want."""
    return np.concatenate([np.zeros((EXACT.before, 2), np.float32), samples])


def _share_below(samples: Any, hertz: float) -> float:
    power = np.abs(np.fft.rfft(samples)) ** 2
    return float(power[: int(hertz * len(samples) / SAMPLE_RATE)].sum() / power.sum())
