"""Rooms are as the data say: their decay, their first reflection, and both sides alike."""

from __future__ import annotations

from copy import deepcopy
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from groove import library
from groove.rhythm.patterns import drum_pattern
from groove.sound.mix.impulse_response import impulse_response
from groove.sound.mix.room import read_room, room_of, rooms
from groove.sound.samples import BLOCK, SAMPLE_RATE
from tests.cases import in_turn

NAMES = tuple(rooms())


def heard(name: str) -> np.ndarray:
    return impulse_response(rooms()[name], SAMPLE_RATE).astype(float)


def decay(sound: np.ndarray, low: float, high: float) -> float:
    """The seconds of decay by 60 dB of a band of frequencies, from -5 to -25 dB of the energy that
    is still to come (Schroeder, "New method of measuring reverberation time", 1965)."""
    size = 4 * len(sound)
    spectra = np.fft.rfft(sound, size, axis=0)
    hertz = np.fft.rfftfreq(size, 1 / SAMPLE_RATE)
    spectra[(hertz < low) | (hertz >= high)] = 0
    power = np.square(np.fft.irfft(spectra, size, axis=0)[: len(sound)]).sum(axis=1)
    left = np.cumsum(power[::-1])[::-1]
    curve = 10 * np.log10(left / left[0])
    return float(np.argmax(curve < -25) - np.argmax(curve < -5)) / SAMPLE_RATE * 3


@pytest.mark.parametrize("name", NAMES)
def test_a_room_decays_as_the_data_say(name: str) -> None:
    wanted, sound = rooms()[name].decay, heard(name)
    assert decay(sound, 80, 180) == pytest.approx(wanted.low, rel=0.25)  # a narrow band's is chance
    assert decay(sound, 700, 1400) == pytest.approx(wanted.mid, rel=0.12)
    assert decay(sound, 5600, 11_300) == pytest.approx(wanted.high, rel=0.12)


@pytest.mark.parametrize("name", NAMES)
def test_the_first_reflection_comes_after_4_to_10_ms(name: str) -> None:
    level = np.abs(heard(name)).max(axis=1)
    loud, any_at_all = (np.argmax(level > share * level.max()) for share in (0.2, 1e-3))
    assert 3.9 < any_at_all / SAMPLE_RATE * 1000 <= loud / SAMPLE_RATE * 1000 < 10


@pytest.mark.parametrize("name", NAMES)
def test_left_and_right_are_as_loud_and_not_the_same(name: str) -> None:
    left, right = heard(name).T
    assert 10 * np.log10(np.square(left).sum() / np.square(right).sum()) == pytest.approx(
        0, abs=0.5
    )
    late = len(left) // 4
    assert abs(np.corrcoef(left[late:], right[late:])[0, 1]) < 0.3
    assert abs(np.corrcoef(left[:late], right[:late])[0, 1]) < 0.7


@pytest.mark.parametrize("name", NAMES)
def test_in_mono_no_more_than_half_of_a_room_is_lost(name: str) -> None:
    sound = heard(name)
    mono = np.square(sound.mean(axis=1)).sum() / np.square(sound).mean(axis=1).sum()
    assert -3.2 < 10 * np.log10(mono) < 0


@pytest.mark.parametrize("name", NAMES)
def test_a_room_ends_without_a_step_within_a_block(name: str) -> None:
    sound = heard(name)
    assert len(sound) < BLOCK
    assert np.abs(sound[-10:]).max() < 1e-4 * np.abs(sound).max()


def test_the_level_is_in_db_and_width_0_is_one_sound_in_the_middle() -> None:
    club = rooms()["club"]
    usual, louder = (impulse_response(replace(club, level=db), 22_050) for db in (0, 6))
    assert np.square(usual).sum(axis=0) == pytest.approx([1, 1], rel=1e-3)
    assert np.abs(louder - usual * 10**0.3).max() < 1e-5
    left, right = impulse_response(replace(club, width=0.0), 22_050).T
    assert np.abs(left - right).max() < 1e-7


def test_the_same_room_is_the_same_each_time_and_at_any_rate_as_long() -> None:
    room = replace(rooms()["club"], level=-0.5)
    once = impulse_response(room, SAMPLE_RATE)
    assert np.array_equal(once, impulse_response(replace(room), SAMPLE_RATE))
    other = impulse_response(room, 48_000)
    assert len(other) / 48_000 == pytest.approx(len(once) / SAMPLE_RATE, abs=1e-4)


@in_turn("drums", library.names("drums"))
def test_every_drum_pattern_has_a_room(drums: str) -> None:
    assert room_of(drum_pattern(drums)) in rooms().values()


def test_every_room_is_used_and_for_a_family_or_a_pattern_that_there_is() -> None:
    content = library.table("rooms")
    drums = library.names("drums")
    assert set(content["patterns"]) <= set(drums)
    assert set(content["families"]) == {drum_pattern(n).family for n in drums}
    assert {*content["patterns"].values(), *content["families"].values()} == set(rooms())


def test_a_ballad_rings_longer_than_funk() -> None:
    ballad, funk = (room_of(drum_pattern(name)) for name in ("slow-ballad", "sixteenth-funk"))
    assert ballad.decay.mid > 3 * funk.decay.mid


@pytest.mark.parametrize(
    ("place", "value"),
    [
        (("decay", "mid"), 1.5),
        (("decay", "mid"), 0.05),
        (("metres",), [13.0, 9.2, 1.0]),
        (("metres",), [13.0, 9.2]),
        (("band",), [14.0, 4.1, 1.2]),
        (("listener",), [6.9, 5.2, "low"]),
        (("listener",), [1.8, 4.1, 1.2]),
        (("width",), 1.2),
        (("level",), 20.0),
        (("colour",), 1.0),
    ],
)
def test_data_that_no_room_has_are_refused(place: tuple[str, ...], value: Any) -> None:
    content = deepcopy(library.table("rooms")["rooms"]["club"])
    table = content
    for key in place[:-1]:
        table = table[key]
    table[place[-1]] = value
    with pytest.raises(ValueError, match=rf"rooms.toml: club: .*{place[-1]}.*(found|unknown)"):
        read_room("club", content)
