"""A strip saturates, equalises, places and adds the room, and changes nothing else."""

from __future__ import annotations

import itertools
import time
from typing import TYPE_CHECKING

import mido
import numpy as np
import pytest

from groove.sound.mix.equaliser import Band, decibels
from groove.sound.mix.hard_panned import hard_panned
from groove.sound.mix.impulse_response import impulse_response
from groove.sound.mix.mix_settings import AS_IT_IS, Kind, MixSettings
from groove.sound.mix.room import rooms
from groove.sound.mix.saturation import Saturation
from groove.sound.mix.strip import PlaceAndSend, Strip, stripped, strips_of
from groove.sound.samples import BLOCK, SAMPLE_RATE
from groove.sound.synth.scores import Event, Score

if TYPE_CHECKING:
    from groove.sound.samples import Samples

CLUB = rooms()["club"]
DARK = Kind(bands=(Band("low pass", 500),))
BRIGHT = Kind(bands=(Band("high pass", 4000),))


def noise(seed: int, frames: int = BLOCK) -> Samples:
    return np.random.default_rng(seed).standard_normal((frames, 2)).astype(np.float32) * 0.1


def click(level: float = 0.1, at: int = 100) -> Samples:
    block = np.zeros((BLOCK, 2), np.float32)
    block[at] = level
    return block


def heard(strip: Strip, *blocks: Samples) -> np.ndarray:
    """All that comes out of a strip, with what rings on."""
    played = list(itertools.chain.from_iterable(stripped(((b,) for b in blocks), [strip])))
    return np.concatenate(played)


def apart(one: np.ndarray, other: np.ndarray) -> float:
    return float(np.abs(one - other).max())


def energy(sound: np.ndarray, low: float, high: float) -> float:
    power = np.abs(np.fft.rfft(sound, axis=0)) ** 2
    hertz = np.fft.rfftfreq(len(sound), 1 / SAMPLE_RATE)
    return float(power[(hertz >= low) & (hertz < high)].sum())


def test_a_strip_with_nothing_to_do_passes_everything() -> None:
    sound = noise(1)
    assert apart(heard(Strip([(0, AS_IT_IS)]), sound), sound) < 1e-6


def test_the_room_is_its_response_as_much_as_the_part_sends() -> None:
    strip = Strip([(0, AS_IT_IS)], PlaceAndSend(send=64), room=CLUB)
    found = heard(strip, click())
    found[100] -= 0.1
    response = impulse_response(CLUB, SAMPLE_RATE)
    wanted = 0.1 * response * 64 / 127
    assert apart(found[100 : 100 + len(wanted)], wanted) < 5e-6
    assert np.abs(found[:100]).max() < 1e-7


def test_the_room_rings_on_after_the_part_has_ended() -> None:
    strip = Strip([(0, AS_IT_IS)], PlaceAndSend(send=64), room=CLUB)
    found = heard(strip, click(at=BLOCK - 1))
    assert len(found) == 2 * BLOCK
    assert np.abs(found[BLOCK:]).max() > 1e-3


def test_a_part_that_is_silent_stays_silent_and_one_that_has_ended_ends() -> None:
    strip = Strip([(0, DARK)], PlaceAndSend(send=64), room=CLUB)
    silence = strip.process(np.zeros((BLOCK, 2), np.float32))
    assert silence is not None
    assert not silence.any()
    assert strip.process(None) is None


def test_the_equaliser_does_to_a_click_what_its_figures_say() -> None:
    bands = (Band("peak", 1000, 6), Band("low shelf", 200, -6))
    found = heard(Strip([(0, Kind(bands=bands))]), click(1.0))[:, 0]
    spectrum = np.abs(np.fft.rfft(found))
    for hertz in (50, 300, 1000, 5000, 15_000):
        place = round(hertz * len(found) / SAMPLE_RATE)
        wanted = decibels(bands, hertz, SAMPLE_RATE)
        assert 20 * np.log10(spectrum[place]) == pytest.approx(wanted, abs=0.05)


def test_saturation_comes_before_the_equaliser() -> None:
    sine = np.sin(2 * np.pi * 100 * np.arange(BLOCK) / SAMPLE_RATE)
    sound = np.repeat(sine[:, np.newaxis], 2, axis=1).astype(np.float32)
    bent = heard(Strip([(0, Kind(Saturation(0), DARK.bands))]), sound)
    assert energy(bent, 290, 310) > 1e-4 * energy(bent, 90, 110)


@pytest.mark.parametrize(("share", "lean"), [(1, 4.4), (0.5, 2.15), (0, 0), (-1, -4.4)])
def test_a_place_moves_a_part_towards_the_middle_and_beyond(share: float, lean: float) -> None:
    """The synthesiser places a part at 84 so that it is 4.4 dB louder on the right."""
    there = np.sin(np.pi / 2 * (0.5 + np.array([-20, 20]) / 128)).astype(np.float32)
    sound = noise(2)[:, :1] * there
    strip = Strip([(0, AS_IT_IS)], PlaceAndSend(place=84), away={AS_IT_IS: 20 * share})
    found = heard(strip, sound)
    left, right = np.square(found).sum(axis=0)
    assert 10 * np.log10(right / left) == pytest.approx(lean, abs=0.1)
    assert left + right == pytest.approx(np.square(sound).sum(), rel=1e-3)


def test_a_part_goes_from_one_kind_of_sound_to_the_next_and_back() -> None:
    second = SAMPLE_RATE
    strip = Strip([(0, DARK), (second, BRIGHT), (2 * second, DARK)])
    found = heard(strip, noise(3), noise(4))
    for number, (low, high) in enumerate([(0, 500), (4000, 22_050), (0, 500)]):
        stretch = found[number * second : (number + 1) * second - 2000][5000:]
        assert energy(stretch, low, high) > 0.7 * energy(stretch, 0, 22_050)


def test_there_is_no_step_where_a_part_changes_its_sound() -> None:
    sine = np.sin(2 * np.pi * 300 * np.arange(BLOCK) / SAMPLE_RATE)
    sound = np.repeat(sine[:, np.newaxis], 2, axis=1).astype(np.float32)
    found = heard(Strip([(0, DARK), (SAMPLE_RATE, BRIGHT)]), sound)[1000:BLOCK]
    assert np.abs(np.diff(found, axis=0)).max() < 1.1 * 2 * np.pi * 300 / SAMPLE_RATE


def test_stems_through_their_strips_add_up_to_the_mix_through_them() -> None:
    """What is linear works the same on a sum."""
    one, other = noise(5), noise(6)
    parts = [
        heard(Strip([(0, DARK)], PlaceAndSend(send=40), room=CLUB), sound) for sound in (one, other)
    ]
    whole = heard(Strip([(0, DARK)], PlaceAndSend(send=40), room=CLUB), one + other)
    assert apart(parts[0] + parts[1], whole) < 1e-6


def test_the_room_of_a_player_set_apart_stays_on_its_side() -> None:
    strip = Strip([(0, AS_IT_IS)], PlaceAndSend(send=127), room=CLUB)
    playing = hard_panned(stripped([(noise(7),)], [strip]), ("drums",))
    assert not np.concatenate([block for (block,) in playing])[:, 1].any()


def score_of(name: str, channel: int, *programs: tuple[int, int], send: int = 0) -> Score:
    events = [
        Event(frame, mido.Message("program_change", channel=channel, program=program))
        for frame, program in programs
    ]
    room = mido.Message("control_change", channel=channel, control=91, value=send)
    return Score(name, (*events, Event(0, room)))


def test_a_strip_is_that_of_the_instruments_that_a_part_plays() -> None:
    settings = MixSettings(kinds={27: DARK, 0: BRIGHT})
    (strip,) = strips_of([score_of("comping", 2, (0, 27), (SAMPLE_RATE, 0))], settings)
    assert strip is not None
    found = heard(strip, noise(8))
    dark, bright = found[:40_000], found[50_000:60_000]
    assert energy(dark, 0, 500) > energy(dark, 4000, 22_050)
    assert energy(bright, 0, 500) < energy(bright, 4000, 22_050)


def test_a_part_may_have_a_kind_of_its_own_and_the_kit_is_no_piano() -> None:
    drums = score_of("drums", 9, (0, 0))
    assert strips_of([drums], MixSettings(kinds={0: BRIGHT})) == (None,)
    assert strips_of([drums], MixSettings(kinds={"drums": BRIGHT})) != (None,)


def test_where_nothing_is_to_be_done_there_is_no_strip() -> None:
    score = score_of("bass", 1, (0, 33))
    assert strips_of([score], MixSettings()) == (None,)
    assert strips_of([score], MixSettings(room=CLUB)) == (None,)
    sound = noise(9)
    ((kept,),) = stripped([(sound,)], (None,))
    assert kept is sound


def test_a_strip_takes_little_of_the_processor() -> None:
    """A share of what transforms of the same sound take, forth and back, in one piece."""
    strip = Strip([(0, DARK)], PlaceAndSend(send=40), room=CLUB)
    sound, size = noise(10), 2 * BLOCK
    strip.process(sound)
    took, plain = [], []
    for _ in range(5):
        begun = time.thread_time()
        strip.process(sound)
        took.append(time.thread_time() - begun)
        begun = time.thread_time()
        np.fft.irfft(np.fft.rfft(sound.T.copy(), size), size)
        plain.append(time.thread_time() - begun)
    assert min(took) < min(plain)
