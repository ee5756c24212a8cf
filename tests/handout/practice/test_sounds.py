"""The sounds of the practice page stand where it looks for them, at the synthesiser's level."""

from __future__ import annotations

import base64
import io
import os
from pathlib import Path

import numpy as np
import pytest
import soundfile

from groove.form.read import read_form
from groove.handout.practice.data import page_data
from groove.handout.practice.sounds import PULSE_AT, _pack, _played, instruments
from groove.handout.practice.streams import rows_of
from groove.rhythm.kit import KIT
from groove.sound.synth.soundfonts import find_fonts
from tests.form.road_material import arranged
from tests.handout.practice.page_material import FORM, data_in


def test_every_recorded_note_stands_where_the_page_looks_for_it(page: str, tmp_path: Path) -> None:
    for name, sound in data_in(page, "sound-data").items():
        file = tmp_path / f"{name}.mp3"
        file.write_bytes(base64.b64decode(sound["mp3"]))
        whole, rate = soundfile.read(file)
        assert rate == sound["rate"]
        late = int(np.argmax(np.abs(whole[:13000]))) - PULSE_AT
        for _, _, first, frames, *_ in sound["notes"]:
            note = whole[first + late : first + late + frames]
            assert np.abs(note).max() > 0.5  # each is there at full level
            assert np.abs(whole[first + late - 400 : first + late - 100]).max() < 0.05


def test_every_pitch_that_is_played_has_a_sound_near_by(page: str) -> None:
    track, sounds = data_in(page, "track-data"), data_in(page, "sound-data")
    for part in ("drums", "bass", "comping"):
        recorded = {note[0] for note in sounds[part]["notes"]}
        reach = 0 if part == "drums" else 1
        for key in track["keys"]:
            for _, _, pitch, _, _ in rows_of(track["streams"], key["round"][part]):
                assert min(abs(pitch - near) for near in recorded) <= reach


def test_a_recorded_note_comes_back_at_the_synthesiser_s_level(tmp_path: Path) -> None:
    """Compared with the encoder's input, which was normalised to full level."""
    (instrument,) = (each for each in instruments(page_data(FORM)) if each.name == "bass")
    played = _played(instrument, find_fonts(None, os.environ).main)
    packed = _pack(instrument, played)
    sound, _ = soundfile.read(io.BytesIO(base64.b64decode(packed["mp3"])))
    late = int(np.argmax(np.abs(sound[:13000]))) - PULSE_AT
    for note, row in zip(played, packed["notes"], strict=True):
        first, frames, gain = row[2:5]
        frames = min(frames, 20_000)
        ours = gain * sound[first + late : first + late + frames]
        ratio = ours.std() / note[:frames].mean(axis=1).std()
        assert ratio == pytest.approx(1, abs=0.01)


@pytest.mark.parametrize(("comping", "decays"), [("pads-organ", False), ("stabs-keys", True)])
def test_only_the_notes_of_an_organ_never_decay(comping: str, decays: bool) -> None:
    data = page_data(read_form("one-chord-vamp", comping=comping))
    (chords,) = [each for each in instruments(data) if each.name == "comping"]
    seconds = np.arange(4 * 44_100) / 44_100
    falling = (np.sin(2 * np.pi * 220 * seconds) * np.exp(-0.2 * seconds)).astype(np.float32)
    packed = _pack(chords, [np.stack([falling] * 2, axis=1)] * len(chords.wishes))
    assert {row[-1] > 0.1 for row in packed["notes"]} == {decays}


def test_percussion_is_recorded_stroke_by_stroke_and_without_the_click() -> None:
    data = page_data(read_form("one-chord-vamp", drums="two-beat", percussion="shaker, triangle"))
    recorded = {each.name: each for each in instruments(data)}
    pitches = {wish.pitch for wish in recorded["percussion"].wishes}
    assert recorded["percussion"].is_kit
    assert pitches == {KIT[row].note for row in ("maracas", "triangle-mute", "triangle")}
    assert data["click"] in {wish.pitch for wish in recorded["drums"].wishes}


def test_a_player_who_changes_the_instrument_has_a_sound_for_each() -> None:
    sections = [
        {"name": "A", "chords": "I:2"},
        {"name": "B", "chords": "I:2", "instrument": {"bass": "fretless-bass"}},
    ]
    data = page_data(
        arranged(sections=sections, order=["A, B"], instrument={"bass": "slap bass 1"})
    )
    found = {one.name: one.program for one in instruments(data)}
    assert (found["bass"], found["bass 35"]) == (36, 35)
    (bass,) = [part for part in data["parts"] if part["name"] == "bass"]
    assert bass["programs"] == [[2 * data["barTicks"], 35]]
