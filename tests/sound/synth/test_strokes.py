"""Strokes on drums come at their frames, at their levels, and end one another as they should."""

from __future__ import annotations

import ctypes
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np
import pytest

from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth.scores import scores
from groove.sound.synth.stroke_pool import StrokePool
from groove.sound.synth.strokes import CHOKE_FRAMES, StrokePlayer
from tests.sound.sound_material import midi_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import mido

    from groove.sound.samples import Samples
    from groove.sound.synth.soundfonts import Fonts
    from tests.sound.sound_material import Note

SIDE_STICK, HAT, HAT_FOOT, HAT_OPEN, CRASH = 37, 42, 44, 46, 49


@pytest.fixture(scope="module")
def pool(fonts: Fonts) -> Iterator[StrokePool]:
    pool = StrokePool(fonts.main)
    yield pool
    pool.close()


def played(
    midi: mido.MidiFile, pool: StrokePool, seconds: float = 3.0, size: int = 1 << 14
) -> Samples:
    player = StrokePlayer(scores(midi)[0], pool)
    blocks = []
    while player.frame < seconds * SAMPLE_RATE:
        block = (ctypes.c_float * (2 * size))()
        player.fill(block)
        blocks.append(np.frombuffer(block, np.float32).reshape(-1, 2))
    return np.concatenate(blocks)[: round(seconds * SAMPLE_RATE)]


def drums(notes: Sequence[Note], pool: StrokePool, **options: float) -> Samples:
    return played(midi_of({9: notes}), pool, **options)  # type: ignore[arg-type]


def rms(sound: Samples, start: float, end: float) -> float:
    return float(np.sqrt(np.mean(np.square(sound[int(start * 44_100) : int(end * 44_100)]))))


def test_strokes_are_on_their_frames(pool: StrokePool) -> None:
    """To the frame, between the grains of the library too."""
    alone = drums([(0, 0.2, SIDE_STICK, 100)], pool, seconds=1)
    later = drums([(0.5071, 0.2, SIDE_STICK, 100)], pool, seconds=2)
    frame = round(round(0.5071 * 480) / 960 * SAMPLE_RATE)
    assert frame % 64
    assert np.array_equal(later[frame : frame + 30_000], alone[:30_000])
    assert not later[:frame].any()


def test_the_samples_do_not_depend_on_the_size_of_the_blocks(
    short_take: mido.MidiFile, pool: StrokePool
) -> None:
    whole = played(short_take, pool, 6)
    assert np.array_equal(whole, played(short_take, pool, 6, size=777))


def test_each_stroke_is_as_loud_as_its_velocity_says(pool: StrokePool) -> None:
    levels = [
        np.abs(drums([(0, 0.2, SIDE_STICK, velocity)], pool, seconds=0.2)).max()
        for velocity in range(20, 128, 9)
    ]
    assert levels == sorted(levels)
    assert 20 < 20 * np.log10(levels[-1] / levels[0]) < 40


def test_a_stroke_rings_on_past_the_end_of_its_note(pool: StrokePool) -> None:
    short, long = (drums([(0, length, CRASH, 100)], pool) for length in (0.05, 4))
    assert np.array_equal(short, long)


@pytest.mark.parametrize("closing", [HAT, HAT_FOOT])
def test_a_closed_hat_ends_an_open_one(pool: StrokePool, closing: int) -> None:
    ringing = drums([(0, 0.2, HAT_OPEN, 100)], pool)
    ended = drums([(0, 0.2, HAT_OPEN, 100), (1, 0.2, closing, 20)], pool)
    before, after = 22_050, 22_050 + CHOKE_FRAMES
    assert np.array_equal(ringing[:before], ended[:before])
    foot = drums([(1, 0.2, closing, 20)], pool)
    assert np.allclose(ended[after:], foot[after:])
    assert rms(ringing - ended, 0.55, 0.7) > 0.1 * rms(ringing, 0, 0.4)


def test_a_hat_lets_another_of_its_kind_ring_and_every_other_piece(pool: StrokePool) -> None:
    for first, second in ((HAT_OPEN, HAT_OPEN), (CRASH, HAT), (HAT_OPEN, CRASH)):
        one, other = [(0, 0.2, first, 100)], [(1, 0.2, second, 100)]
        both = drums([*one, *other], pool)[:50_000]
        alone = drums(one, pool)[:50_000]
        assert np.array_equal(both[:22_050], alone[:22_050])
        assert rms(both - alone, 0.5, 1.1) > 0
        assert float(np.abs(both[40_000:] - alone[40_000:]).max()) < float(np.abs(both).max())


def test_no_two_neighbouring_strokes_are_the_same(pool: StrokePool) -> None:
    sound = drums([(beat, 0.2, HAT, 90) for beat in range(6)], pool)
    strokes = [sound[beat * 22_050 :][:4000] for beat in range(6)]
    assert not any(np.array_equal(*pair) for pair in pairwise(strokes))
