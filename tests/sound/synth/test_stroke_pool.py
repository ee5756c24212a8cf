"""Every stroke is rendered whole, dry, and independent of all others."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest

from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth import stroke_pool
from groove.sound.synth.soundfont_file import keys
from groove.sound.synth.soundfonts import find_fonts
from groove.sound.synth.stand_ins import Sounds
from groove.sound.synth.stroke_pool import FADE, KitSetting, StrokePool
from groove.sound.synth.tone import kit_tone
from tests.sound.sound_material import GENERAL_MIDI, centroid, likeness

if TYPE_CHECKING:
    from collections.abc import Iterator

    from groove.sound.synth.soundfonts import Fonts
    from tests.sound.sound_material import Wave

KICK, SNARE, HAT, CRASH, RIDE = 36, 38, 42, 49, 51
KIT = KitSetting()


@pytest.fixture
def pool(fonts: Fonts) -> Iterator[StrokePool]:
    pool = StrokePool(fonts.main)
    yield pool
    pool.close()


def heard(pool: StrokePool, note: int, velocity: int, way: int | None) -> Wave:
    """The first fifth of a second of a stroke."""
    sound = pool.stroke(KIT, note, velocity, way).mean(axis=1, dtype=np.float64)
    return np.pad(sound, (0, SAMPLE_RATE))[: SAMPLE_RATE // 5]


def test_a_stroke_does_not_depend_on_what_was_rendered_before(
    pool: StrokePool, fonts: Fonts
) -> None:
    first = pool.stroke(KIT, SNARE, 90, 1)
    other = StrokePool(fonts.main)
    other.stroke(KitSetting(program=25, volume=60), CRASH, 120, 0)
    other.gain(KIT, HAT, 90, 60)
    other.stroke(KIT, SNARE, 30, 3)
    assert np.array_equal(first, other.stroke(KIT, SNARE, 90, 1))
    other.close()


def test_a_stroke_ends_where_it_has_died_away(pool: StrokePool) -> None:
    for note in (SNARE, RIDE, CRASH):
        stroke = np.abs(pool.stroke(KIT, note, 100, 0)).max(axis=1)
        assert 0 < stroke[-FADE:].max() < 0.001 * stroke.max()
        assert stroke[-1] == 0
        assert len(stroke) < 9 * SAMPLE_RATE
    assert len(pool.stroke(KIT, CRASH, 100, 0)) > 2 * SAMPLE_RATE


@pytest.mark.parametrize(("note", "most"), [(HAT, 0.8), (RIDE, 0.8), (SNARE, 0.95)])
def test_the_ways_of_playing_a_stroke_differ(pool: StrokePool, note: int, most: float) -> None:
    ways = [heard(pool, note, 90, way) for way in range(kit_tone(note).ways)]
    for number, one in enumerate(ways):
        assert all(likeness(one, other) <= most for other in ways[:number])


@pytest.mark.parametrize("note", [SNARE, HAT, RIDE])
def test_a_hard_stroke_is_brighter_than_a_soft_one(pool: StrokePool, note: int) -> None:
    """By half with the package's soundfont, which the figures are made for; and with any other."""
    own = StrokePool(find_fonts(None, {}, []).main)
    for played, factor in ((own, 1.5), (pool, 1.3)):
        soft, hard = (centroid(heard(played, note, velocity, 0)) for velocity in (24, 120))
        assert hard > factor * soft
    own.close()


def test_without_a_way_a_stroke_sounds_as_the_soundfont_has_it(pool: StrokePool) -> None:
    soft, hard = heard(pool, RIDE, 24, None), heard(pool, RIDE, 120, None)
    assert centroid(soft) == pytest.approx(centroid(hard), rel=0.02)


def test_the_gain_gives_a_stroke_the_level_of_another_velocity(pool: StrokePool) -> None:
    """The soundfont's own step in loudness, by more than a factor of three here."""
    soft, hard = (np.abs(heard(pool, SNARE, velocity, None)).max() for velocity in (54, 104))
    assert pool.gain(KIT, SNARE, 54, 104) == pytest.approx(hard / soft, rel=0.1)
    assert hard > 3 * soft


def test_little_is_kept_of_many_strokes(pool: StrokePool, monkeypatch: pytest.MonkeyPatch) -> None:
    expected = [pool.stroke(KIT, note, 90, 0) for note in range(35, 60)]
    monkeypatch.setattr(stroke_pool, "KEPT_BYTES", 500_000)
    assert all(
        np.array_equal(one, pool.stroke(KIT, note, 90, 0))
        for note, one in zip(range(35, 60), expected, strict=True)
    )
    pool.stroke(KIT, KICK, 60, 0)
    assert sum(stroke.nbytes for stroke in pool._kept.values()) <= 500_000


def test_a_stroke_that_the_kit_lacks_sounds_as_the_one_most_like_it(pool: StrokePool) -> None:
    lowest = min(keys(GENERAL_MIDI, 128, 0))
    found, expected = (pool.stroke(KIT, note, 100, None) for note in (3, lowest))
    assert found.any()
    assert np.array_equal(found, expected)
    assert pool.gain(KIT, 3, 100, 60) == pool.gain(KIT, lowest, 100, 60)


def test_ways_take_turns_on_the_recordings_of_a_piece(
    pool: StrokePool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A kick in three recordings, a snare that has one in all three banks."""
    kicks = {128: 1, 120: 2, 121: 3}
    monkeypatch.setattr(Sounds, "__contains__", lambda _self, preset: preset[0] in kicks)
    monkeypatch.setattr(
        stroke_pool,
        "samples",
        lambda _path, bank, _program: {KICK: frozenset({kicks[bank]}), SNARE: frozenset({9})},
    )
    assert pool.recordings(0, KICK) == (128, 120, 121)
    assert pool.recordings(0, SNARE) == (128,)
    assert pool.ways(0, KICK) == (3, 3)
    assert pool.ways(0, SNARE) == (kit_tone(SNARE).ways, 1)


def test_more_kits_than_channels_can_be_played(pool: StrokePool) -> None:
    first = pool.stroke(KIT, SNARE, 90, 0)
    for program in range(1, 20):
        pool.stroke(KitSetting(program), SNARE, 90, 0)
    pool._kept.clear()
    assert np.array_equal(first, pool.stroke(KIT, SNARE, 90, 0))
