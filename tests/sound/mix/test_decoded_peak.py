"""The peaks of decoded files, and the gain of a file whose encoder raises them."""

from __future__ import annotations

import os
from pathlib import Path

import numpy as np
import pytest
import soundfile

import groove
from groove.sound import production
from groove.sound.mix.decoded_peak import BLOCK, decoded_peak
from groove.sound.mix.limiter import CEILING

RATE = 44100


@pytest.mark.parametrize("frames", [1000, BLOCK, 2 * BLOCK + 30])
def test_a_sine_between_its_samples_reaches_full_scale(frames: int, tmp_path: Path) -> None:
    """A quarter of the rate at 45 degrees: samples at 0.707, wave at 1 (ITU-R BS.1770-4 annex 2).
    A meter may be 0.4 dB below and 0.2 above (EBU Tech 3341, from memory)."""
    sine = np.sin(np.pi / 2 * np.arange(frames) + np.pi / 4) * np.hanning(frames)
    soundfile.write(tmp_path / "a.wav", np.stack([sine, 0 * sine], axis=1), RATE, "FLOAT")
    assert -0.4 <= decoded_peak(tmp_path / "a.wav", CEILING) <= 0.2


def test_a_peak_between_two_blocks_counts(tmp_path: Path) -> None:
    sound = np.zeros((2 * BLOCK, 2))
    sound[BLOCK - 12 : BLOCK + 12, 1] = np.sin(np.pi / 2 * np.arange(24) + np.pi / 4)
    soundfile.write(tmp_path / "a.wav", sound, RATE, "FLOAT")
    soundfile.write(tmp_path / "b.wav", sound[BLOCK // 2 :], RATE, "FLOAT")
    whole, cut = (decoded_peak(tmp_path / name, CEILING) for name in ("a.wav", "b.wav"))
    assert whole == pytest.approx(cut, abs=1e-3)
    assert whole > -0.5


def test_silence_has_no_peak(tmp_path: Path) -> None:
    soundfile.write(tmp_path / "a.wav", np.zeros((100, 2)), RATE)
    assert decoded_peak(tmp_path / "a.wav", CEILING) == -np.inf


def test_a_file_in_a_folder_whose_name_is_not_utf_8_is_measured(tmp_path: Path) -> None:
    folder = tmp_path / os.fsdecode(b"\xe9t\xe9")
    folder.mkdir()
    with (folder / "a.wav").open("wb") as file:
        soundfile.write(file, np.full((1000, 2), 0.5), RATE, "FLOAT", format="WAV")
    assert decoded_peak(folder / "a.wav", 1) == pytest.approx(-6.02, abs=0.01)


@pytest.mark.parametrize("format_", ["mp3", "ogg"])
def test_a_file_whose_encoder_went_too_high_is_written_again(
    format_: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(production, "OVERSHOOT_DB", {format_: -1.0})
    form = groove.read_form("one-chord-vamp", choruses=1, chords="I7:2")
    [_, path] = groove.make(form, tmp_path, audio=format_, loudness=-11)
    assert decoded_peak(path, CEILING) <= -1


def test_a_wav_is_the_same_whatever_is_made_beside_it(tmp_path: Path) -> None:
    form = groove.read_form("one-chord-vamp", choruses=1, chords="I7:2")
    alone = groove.make(form, tmp_path / "alone", audio="wav", stems=True)
    beside = groove.make(form, tmp_path / "beside", audio="wav,mp3", stems=True)
    assert [path.read_bytes() for path in alone if path.suffix == ".wav"] == [
        path.read_bytes() for path in beside if path.suffix == ".wav"
    ]
