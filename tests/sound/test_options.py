"""The options of audio: values that are allowed, and messages about the others."""

from __future__ import annotations

import pytest

from groove.errors import GrooveError
from groove.sound.options import AudioOptions, Names, unheeded, wanted


@pytest.mark.parametrize(
    ("audio", "formats"),
    [
        (None, ()),
        ("none", ()),
        ("wav", ("wav",)),
        ("wav,mp3", ("wav", "mp3")),
        (["flac", "ogg, wav"], ("flac", "ogg", "wav")),
        ("mp3,mp3", ("mp3",)),
    ],
)
def test_formats_come_in_a_list_or_with_commas(audio: Names, formats: tuple[str, ...]) -> None:
    assert wanted(audio, {}).formats == formats


@pytest.mark.parametrize(
    "options", [{"stems": True}, {"without_each": True}, {"without": "bass"}, {"only": ["drums"]}]
)
def test_an_option_that_chooses_files_asks_for_wav(options: AudioOptions) -> None:
    assert wanted(None, options).formats == ("wav",)


@pytest.mark.parametrize(
    ("audio", "options", "said"),
    [
        ("mp4", {}, "audio: found 'mp4'; did you mean mp3"),
        ("none,wav", {}, "audio: none"),
        ("none", {"stems": True}, "stems: needs audio"),
        ("none", {"without_each": True}, "without-each: needs audio"),
        ("wav", {"without": "bas"}, "without: found 'bas'; did you mean bass"),
        ("wav", {"only": "drum"}, "only: found 'drum'; did you mean drums"),
        ("wav", {"bits": 20}, "bits: found 20; 16 and 24"),
        ("wav", {"loudness": -3}, "loudness: found -3; -40 to -10"),
        ("wav", {"loudness": float("nan")}, "loudness: found nan"),
    ],
)
def test_what_there_is_not_is_named(audio: str, options: AudioOptions, said: str) -> None:
    with pytest.raises(GrooveError) as error:
        wanted(audio, options)
    assert str(error.value).startswith(said)


@pytest.mark.parametrize(
    ("audio", "options", "said"),
    [
        (None, {"apart": True, "bits": 24, "loudness": -20}, ["apart", "loudness", "bits"]),
        ("mp3", {"bits": 24}, ["bits"]),
        ("wav", {"only": "drums", "without_each": True}, ["without-each"]),
        ("wav", {"apart": True, "bits": 24, "loudness": -20, "without_each": True}, []),
        (None, {}, []),
    ],
)
def test_what_has_no_effect_is_said(
    audio: Names | None, options: AudioOptions, said: list[str]
) -> None:
    asked = wanted(audio, options)
    lines = unheeded(asked, options, sounds=bool(asked.formats))
    assert [line.split()[0] for line in lines] == said


def test_a_report_alone_heeds_the_loudness() -> None:
    options: AudioOptions = {"loudness": -20}
    assert unheeded(wanted(None, options), options, sounds=True) == []


def test_a_part_that_the_band_does_not_have_is_said() -> None:
    options: AudioOptions = {"without": "riff,comping,click"}
    band = ("drums", "bass", "guitar", "keys")
    lines = unheeded(wanted("wav", options), options, sounds=True, players=band)
    assert lines == ["there is no riff in this band"]
