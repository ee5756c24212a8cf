"""The figures of tone are data, and right for every instrument and piece of the kit."""

from __future__ import annotations

import pytest

from groove import library
from groove.rhythm.kit import KIT
from groove.sound.synth.tone import LOUDEST, MOST_WAYS, Tone, kit_tone, program_tone


def test_every_family_of_instruments_has_a_tone() -> None:
    families = library.table("instruments")["programs"]
    assert set(library.table("mix")["tone"]["families"]) == set(families)


def test_instruments_and_pieces_of_their_own_exist() -> None:
    tone = library.table("mix")["tone"]
    names = {
        name for family in library.table("instruments")["programs"].values() for name in family
    }
    assert set(tone["instruments"]) <= names
    assert set(tone["kit"]) <= {*KIT, "other"}


def test_an_instrument_has_its_own_tone_or_its_family_s() -> None:
    tone = library.table("mix")["tone"]
    assert program_tone(33) == Tone(**tone["families"]["bass"])
    assert program_tone(30) == Tone(**tone["instruments"]["distortion guitar"])


def test_drums_keep_their_pitch() -> None:
    """Snare and toms within 15 cents, hats, cymbals and the kick within 35: of a kick's 60 Hz, that
    is little more than one hertz, which is hardly heard of so short a sound (common practice)."""
    for name, voice in KIT.items():
        most = 35 if name.startswith(("hat", "ride", "crash", "splash", "bell", "kick")) else 15
        assert kit_tone(voice.note).pitch <= most, name


def test_the_loudest_stroke_keeps_the_brightness_of_the_soundfont() -> None:
    assert kit_tone(38).closed(LOUDEST) == 0
    closed = [kit_tone(38).closed(velocity) for velocity in range(1, 128)]
    assert closed == sorted(closed, reverse=True)


@pytest.mark.parametrize(
    "figures", [(-1, 0, 0), (0, 60, 0), (0, 0, 99_999), (0, 0, 0, 0), (0, 0, 0, MOST_WAYS + 1)]
)
def test_figures_outside_their_range_are_refused(figures: tuple[int, ...]) -> None:
    with pytest.raises(ValueError, match="a tone has"):
        Tone(*figures)
