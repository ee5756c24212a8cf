"""Faders bring parts to their balance, compressors lower strokes that stand out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.sound.mix.gain_curve import SLICE, apply_gains
from groove.sound.mix.levels import PartLevel, PartMeter, level_of
from groove.sound.mix.loudness import STRETCH, integrated
from groove.sound.mix.mix_settings import Compressor, MixSettings
from groove.sound.mix.mixdown import channels
from groove.sound.mix.peaks import slice_peaks
from tests.examples import examples
from tests.sound.sound_material import Sound

if TYPE_CHECKING:
    from groove.sound.mix.mixdown import Channel
    from groove.sound.samples import Samples

FRAMES = 80 * STRETCH
BALANCE = MixSettings(balance={"drums": 0, "bass": 0, "comping": -3, "click": -7}, fader=4)
PRESSED = MixSettings(compressors={"drums": Compressor(above=10, ratio=2)})


def noise(level_db: float, seed: int = 1) -> Samples:
    dice = np.random.default_rng(seed)
    return (10 ** (level_db / 20) * dice.standard_normal((FRAMES, 2))).astype(np.float32)


def level(sound: Samples) -> PartLevel:
    meter = PartMeter()
    meter.add(sound)
    return meter.level


def process(channel: Channel, sound: Samples, first: int = 0) -> None:
    """What a channel makes of a sound that begins at a frame, in place."""
    curves = [channel.compressor] if channel.compressor else []
    apply_gains(curves, sound, first, channel.factor)


def faders(settings: MixSettings, **sounds: Samples) -> dict[str, float]:
    done = channels({part: level(sound) for part, sound in sounds.items()}, settings)
    return {part: channel.fader for part, channel in done.items()}


def loudness(sound: Samples) -> float:
    return integrated(level_of(Sound(sound), len(sound)).energies)


@given(st.integers(0, 100), st.integers(1, 6))
@settings(max_examples=examples(10))
def test_a_part_is_about_as_loud_as_the_meter_says(seed: int, swells: int) -> None:
    dice = np.random.default_rng(seed)
    swell = np.repeat(dice.uniform(0.5, 1, 10 * swells), FRAMES // (10 * swells) + 1)[:FRAMES]
    sound = noise(-20, seed) * swell[:, np.newaxis].astype(np.float32)
    assert level(sound).loudness == pytest.approx(loudness(sound), abs=0.2)


def test_the_faders_bring_parts_to_their_balance() -> None:
    levels = {"drums": -20.0, "bass": -23.0, "comping": -21.0}
    moved = faders(BALANCE, **{part: noise(level) for part, level in levels.items()})
    after = {part: levels[part] + moved[part] for part in levels}
    assert after["drums"] - after["bass"] == pytest.approx(0, abs=0.05)
    assert after["drums"] - after["comping"] == pytest.approx(3, abs=0.05)


def test_what_the_players_are_moved_by_is_nothing_on_the_average() -> None:
    moved = faders(BALANCE, drums=noise(-20), bass=noise(-23), comping=noise(-21), click=noise(-9))
    assert moved["drums"] + moved["bass"] + moved["comping"] == pytest.approx(0, abs=0.01)


def test_comping_that_takes_too_much_of_the_register_yields_as_far_as_it_may() -> None:
    """Noise has the same share of its energy there whatever its level."""
    given = {"drums": -20.0, "comping": -17.0, "click": 0.0}
    sounds = {part: noise(db, seed) for seed, (part, db) in enumerate(given.items())}
    for most, yields, wanted in ((0.5, 6, 3), (0.5, 2, 2), (0.7, 6, 0), (1.0, 6, 0)):
        moved = faders(MixSettings(register=most, yields=yields), **sounds)
        assert moved == pytest.approx({"drums": 0, "comping": -wanted, "click": 0}, abs=0.1)


def test_no_fader_is_moved_further_than_it_may_be() -> None:
    moved = faders(BALANCE, drums=noise(-10), bass=noise(-30))
    assert moved == {"drums": -4, "bass": 4}


def test_silence_and_parts_without_a_wish_are_left_alone() -> None:
    nothing = np.zeros((FRAMES, 2), dtype=np.float32)
    moved = faders(BALANCE, drums=noise(-10), bass=nothing, **{"channel 5": noise(-20)})
    assert moved == pytest.approx({"drums": 0, "bass": 0, "channel 5": 0})


def bursts(over_db: float) -> Samples:
    """Steady noise with strokes of a sine, so many dB above the loudness of the whole."""
    sound = noise(-40)
    top = 10 ** ((loudness(sound) + over_db) / 20)
    wave = top * np.sin(np.pi / 2 * np.arange(4 * SLICE) + np.pi / 4) * np.sqrt(2)
    for at in range(100 * SLICE, FRAMES - 100 * SLICE, 1000 * SLICE):
        sound[at : at + len(wave)] = wave[:, np.newaxis]
    return sound


@pytest.mark.parametrize("over", [16, 22])
def test_a_stroke_that_stands_out_is_drawn_in_by_the_ratio(over: float) -> None:
    sound = bursts(over)
    heard = level(sound)
    channel = channels({"drums": heard}, PRESSED)["drums"]
    before = 20 * np.log10(heard.peaks.max()) - heard.loudness
    process(channel, sound)
    after = 20 * np.log10(np.abs(sound).max()) - heard.loudness
    assert after == pytest.approx(10 + (before - 10) / 2, abs=0.1)


def test_what_does_not_stand_out_is_not_touched() -> None:
    rng = np.random.default_rng(2)
    sound = (0.1 * rng.uniform(-1, 1, (FRAMES, 2))).astype(np.float32)
    before = sound.copy()
    process(channels({"drums": level(sound)}, PRESSED)["drums"], sound)
    assert np.array_equal(sound, before)


def test_the_predicted_peaks_are_never_too_low() -> None:
    sound = bursts(20)
    channel = channels({"drums": level(sound)}, PRESSED)["drums"]
    foretold = channel.peaks(level(sound).peaks)
    process(channel, sound)
    found = slice_peaks(sound)
    assert (foretold >= found * 0.9999).all()
    assert foretold.max() == pytest.approx(found.max(), rel=0.02)


def test_any_stretch_is_worked_on_as_it_is_in_the_whole() -> None:
    sound = bursts(20)
    channel = channels({"drums": level(sound)}, PRESSED)["drums"]
    stretch = sound[3 * STRETCH : 5 * STRETCH].copy()
    process(channel, sound)
    process(channel, stretch, 3 * STRETCH)
    assert np.array_equal(stretch, sound[3 * STRETCH : 5 * STRETCH])
