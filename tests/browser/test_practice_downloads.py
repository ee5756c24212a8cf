"""What a student takes away from the practice page opens elsewhere and is what was played."""

from __future__ import annotations

import io
from typing import Any

import mido
import numpy as np
import pytest
import soundfile

from groove.form.read import read_form
from groove.handout.practice_data import WAVE
from groove.make import compile_take
from tests.browser.conftest import FORM, downloaded, wav_of


def test_the_midi_download_opens_with_key_and_tempo(opened: Any) -> None:
    page = opened("#key=Eb&tempo=84&rounds=2")
    midi = mido.MidiFile(file=io.BytesIO(downloaded(page, "#get-midi").read_bytes()))
    assert (midi.type, midi.ticks_per_beat) == (1, 960)
    metas = {message.type: message for message in midi.tracks[0]}
    assert metas["set_tempo"].tempo == round(60e6 / 84)
    assert metas["key_signature"].key == "Eb"
    assert (metas["time_signature"].numerator, metas["time_signature"].denominator) == (4, 4)
    assert [track.name for track in midi.tracks[1:]] == ["click", "drums", "bass", "comping"]
    assert midi.length == pytest.approx((1 + 2 * 12 + 1) * 4 * 60 / 84, abs=0.01)


def test_the_midi_download_has_the_notes_of_our_own_take(opened: Any) -> None:
    page = opened("#rounds=4&countin=off")
    midi = mido.MidiFile(file=io.BytesIO(downloaded(page, "#get-midi").read_bytes()))
    asked = FORM | {"choruses": 4, "ending": "loop", "intensity": WAVE}
    take = compile_take(read_form("twelve-bar", **asked))
    for part, track in zip(take.parts, midi.tracks[2:], strict=True):
        struck, now = [], 0
        for message in track:
            now += message.time
            if message.type == "note_on" and now < take.chart.end - 200:
                struck.append((now, message.note, message.velocity))
        ours = [
            (n.start, n.pitch, n.velocity) for n in part.notes if n.start < take.chart.end - 200
        ]
        found, wanted = sorted(struck), sorted(ours)
        assert len(found) == len(wanted)
        assert max(abs(f[0] - w[0]) for f, w in zip(found, wanted, strict=True)) <= 2


def test_the_wav_download_opens_and_is_as_long_as_the_bars(opened: Any) -> None:
    page = opened("#tempo=240&rounds=1&bars=1-4&countin=off")
    path = downloaded(page, "#get-wav")
    about = soundfile.info(path)
    assert (about.samplerate, about.channels, about.subtype) == (44100, 2, "PCM_16")
    assert 4 < about.duration < 4 + 3
    sound = wav_of(page)
    assert 0.1 < np.abs(sound).max() < 1
