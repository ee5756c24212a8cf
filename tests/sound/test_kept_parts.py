"""Drums that are the same in several tracks are played once, and sound as if they were not."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from groove.sound import audio
from groove.sound.job import AudioJob
from groove.sound.kept_parts import KeptParts
from groove.sound.mixes import audio_files
from groove.sound.options import wanted
from groove.sound.synth.scores import parts_of
from tests.sound.sound_material import PLAIN, midi_of

if TYPE_CHECKING:
    from pathlib import Path

    import mido

    from groove.sound.synth.soundfonts import Fonts

STROKES = [(beat / 2, 0.1, 36 if beat % 2 else 42, 90) for beat in range(8)]


def track(key: int, strokes: list[tuple[float, float, int, int]] = STROKES) -> mido.MidiFile:
    """The same strokes with a bass in another key, which sounds on for longer or shorter."""
    return midi_of({9: strokes, 0: [(0, 3 + key, 36 + key, 100)]}, {0: 33})


@pytest.fixture
def played(monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """The parts that are played, job by job."""
    found: list[list[str]] = []
    play = audio.play_stems

    def noted(scores: list, fonts: Fonts) -> object:
        found.append([score.name for score in scores])
        return play(scores, fonts)

    monkeypatch.setattr(audio, "play_stems", noted)
    return found


def made(folder: Path, midi: mido.MidiFile, fonts: Fonts, kept: KeptParts | None) -> list[bytes]:
    """The bytes of mix and stems."""
    folder.mkdir(exist_ok=True)
    asked = wanted("wav", {"stems": True})
    files = audio_files(folder / "x", parts_of(midi), asked)
    audio.render(AudioJob(midi, fonts, files, asked, PLAIN, kept=kept))
    return [file.path.read_bytes() for file in files]


def test_what_is_kept_sounds_as_if_it_were_played(
    fonts: Fonts, tmp_path: Path, played: list[list[str]]
) -> None:
    kept = KeptParts()
    for key in (4, 0, 9):
        assert made(tmp_path / "a", track(key), fonts, kept) == made(
            tmp_path / "b", track(key), fonts, None
        )
    assert played == [["drums", "bass"], ["drums", "bass"], *[["bass"], ["drums", "bass"]] * 2]


def test_other_strokes_another_soundfont_and_other_settings_are_played(
    fonts: Fonts, tmp_path: Path, played: list[list[str]]
) -> None:
    kept = KeptParts()
    made(tmp_path, track(0), fonts, kept)
    made(tmp_path, track(0, STROKES[:-1]), fonts, kept)
    other = replace(fonts, main=replace(fonts.main, name="another"))
    made(tmp_path, track(0, STROKES[:-1]), other, kept)
    assert played == [["drums", "bass"]] * 3


def test_a_band_of_kept_parts_alone_is_played(
    fonts: Fonts, tmp_path: Path, played: list[list[str]]
) -> None:
    kept = KeptParts()
    alone = [made(tmp_path, midi_of({9: STROKES}), fonts, kept) for _ in range(2)]
    assert alone[0] == alone[1]
    assert played == [["drums"]] * 2
