"""The sounds of the practice page stand where it looks for them, at the synthesiser's level."""

from __future__ import annotations

import base64
import io
from typing import Any

import numpy as np
import pytest
import soundfile

from groove.handout.practice.played import Played
from groove.handout.practice.record import Note, _note, packed, room_sound
from groove.handout.practice.sounds import Recorded, Wish, instruments
from groove.sound.mix.impulse_response import impulse_response
from groove.sound.mix.room import rooms
from groove.sound.samples import SAMPLE_RATE
from tests.handout.practice.page_material import data_in, data_in_one_key


def unpacked(sound: dict[str, Any]) -> list[np.ndarray]:
    """The notes of a set of sounds as the page hears them: (frames, sides) each."""
    whole, rate = soundfile.read(io.BytesIO(base64.b64decode(sound["mp3"])), always_2d=True)
    assert rate == sound["rate"]
    assert whole.shape[1] == sound["sides"]
    pulse = int(np.argmax(np.abs(whole[:13000, 0])))
    late, level = pulse - sound["pulse"], abs(whole[pulse, 0])
    return [
        whole[first + late : first + late + frames] * gain * sound["full"] / level
        for _, _, _, first, frames, gain, *_ in sound["notes"]
    ]


def test_every_recorded_note_stands_where_the_page_looks_for_it(page: str) -> None:
    for sound in data_in(page, "sound-data").values():
        for note, row in zip(unpacked(sound), sound["notes"], strict=True):
            assert np.abs(note).max() > 0.6 * row[5]  # each is there at full level
            assert len(note) == row[4]


@pytest.mark.parametrize("sides", [1, 2])
def test_a_note_comes_back_at_its_level(sides: int) -> None:
    seconds = np.arange(SAMPLE_RATE) / SAMPLE_RATE
    tones = [np.sin(2 * np.pi * hertz * seconds) for hertz in (220, 330)[:sides]]
    notes = [
        Note((loud * np.array(tones)).astype(np.float32), (60, 90, 90), (0.0,) * 5)
        for loud in (0.05, 0.4)
    ]
    for ours, note in zip(unpacked(packed(notes)), notes, strict=True):
        inside = slice(2000, -2000)
        assert ours[inside].std() == pytest.approx(note.sides[:, inside].std(), rel=0.01)


@pytest.mark.parametrize(("comping", "decays"), [("pads-organ", False), ("stabs-keys", True)])
def test_only_the_notes_of_an_organ_never_decay(comping: str, decays: bool) -> None:
    data = data_in_one_key("one-chord-vamp", comping=comping)
    (chords,) = [each for each in instruments(data) if each.name == "comping"]
    seconds = np.arange(4 * SAMPLE_RATE) / SAMPLE_RATE
    falling = (np.sin(2 * np.pi * 220 * seconds) * np.exp(-0.2 * seconds)).astype(np.float32)
    note = _note(chords, Played(chords.wishes[0], np.stack([falling] * 2, axis=1), 90))
    assert (note.more[-1] > 0.1) == decays


def test_a_mono_note_is_as_loud_as_the_mean_of_both_sides() -> None:
    instrument = Recorded("bass", 33, (Wish(40, 90, 3.2),))
    sides = np.random.default_rng(1).standard_normal((140_000, 2)).astype(np.float32)
    note = _note(instrument, Played(instrument.wishes[0], sides, 90))
    assert len(note.sides) == 1
    loud = np.sqrt((sides[:20_000] ** 2).mean())
    assert note.sides[:, :20_000].std() == pytest.approx(loud, rel=0.02)


def test_the_page_s_room_is_the_track_s() -> None:
    room = rooms()["small room"]
    (ours,) = unpacked(room_sound(room))
    own = impulse_response(room, SAMPLE_RATE)[: len(ours)]
    for part in (slice(0, 2000), slice(2000, 8000), slice(8000, 14_000)):
        assert ours[part].std() == pytest.approx(own[part].std(), rel=0.1)
    assert np.corrcoef(ours[:, 0], own[:, 0])[0, 1] > 0.95
