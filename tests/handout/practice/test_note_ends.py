"""The ends of recorded notes: notes that ring on are looped evenly, silence is cut."""

from __future__ import annotations

import numpy as np
import pytest

from groove.handout.practice.note_ends import looped, trimmed
from groove.sound.samples import SAMPLE_RATE

SECONDS = np.arange(4 * SAMPLE_RATE) / SAMPLE_RATE


def tone(level: np.ndarray) -> np.ndarray:
    """Four seconds of a tone with one overtone, at some level."""
    wave = np.sin(2 * np.pi * 220 * SECONDS) + 0.4 * np.sin(2 * np.pi * 443 * SECONDS)
    return (0.3 * level * wave).astype(np.float32)


def held(mono: np.ndarray, seconds: float, *, sustained: bool = False) -> np.ndarray:
    """The levels of a note, in decibels for each quarter of a second, played as the page does."""
    whole, (start, end, decay) = looped(mono, sustained=sustained)
    frames = np.arange(round(seconds * SAMPLE_RATE))
    inside = frames >= end
    frames[inside] = start + (frames[inside] - start) % (end - start)
    since = np.maximum(0, np.arange(len(frames)) - start) / SAMPLE_RATE
    sound = whole[frames] * np.exp(-decay * since)
    return 10 * np.log10((sound.reshape(-1, SAMPLE_RATE // 4) ** 2).mean(axis=1))


@pytest.mark.parametrize("hertz", [0.4, 0.7, 1.1, 6.3])
@pytest.mark.parametrize("phase", [0.0, 1.6, 3.1, 4.7])
def test_a_note_with_tremolo_is_held(hertz: float, phase: float) -> None:
    """The level of a slow tremolo falls in some seconds and rises in others."""
    tremolo = 1 - 0.25 * (1 + np.sin(2 * np.pi * hertz * SECONDS + phase))
    levels = held(tone(tremolo), 10)
    assert levels.max() - levels.min() < 6 + 1  # the tremolo itself is 6 decibels deep


def test_an_organ_s_tremolo_that_is_slower_than_the_recording_is_no_decay() -> None:
    falling = tone(np.linspace(1, 0.56, len(SECONDS)))  # by 5 decibels
    levels = held(falling, 10, sustained=True)
    assert levels.max() - levels.min() < 6


@pytest.mark.parametrize("hertz", [0.3, 0.5, 1.5, 4.0])
@pytest.mark.parametrize("phase", [0.0, 1.6, 3.1, 4.7])
def test_an_organ_s_deep_tremolo_stays_within_six_decibels(hertz: float, phase: float) -> None:
    """The tremolo itself is 8 decibels deep, as a soundfont's rotary organ may have it."""
    tremolo = 10 ** ((4 * np.sin(2 * np.pi * hertz * SECONDS + phase)) / 20)
    levels = held(tone(0.5 * tremolo), 10, sustained=True)[1:]
    assert levels.max() - levels.min() < 6


def test_a_steady_note_stays_steady() -> None:
    levels = held(tone(np.ones_like(SECONDS)), 10)
    assert levels.max() - levels.min() < 0.5


@pytest.mark.parametrize("decay", [0.3, 0.6, 1.2])
def test_a_note_that_decays_goes_on_decaying_at_its_rate(decay: float) -> None:
    levels = held(tone(np.exp(-decay * SECONDS)), 8)
    lost = 20 * decay * np.log10(np.e) / 4  # decibels in a quarter of a second
    assert np.diff(levels) == pytest.approx(np.full(31, -lost), abs=0.5)


def test_a_sound_ends_where_it_stays_below_the_floor() -> None:
    mono = tone(np.where(SECONDS < 1, 1.0, 0.0005))
    assert SAMPLE_RATE <= len(trimmed(mono, 0.001)) <= SAMPLE_RATE + 700
    assert np.abs(trimmed(mono, 0.001)[-3:]).max() < 0.001


def test_a_sound_that_never_falls_silent_fades_out() -> None:
    cut = trimmed(tone(np.ones_like(SECONDS)), 0.001)
    assert len(cut) == len(SECONDS)
    assert np.abs(cut[-50:]).max() < 0.01
