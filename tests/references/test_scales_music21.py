"""Scales agree with music21.scale. Source: general-purpose reference library ``music21``."""

import pytest
from music21 import scale

from groove.theory.pitch import NoteName
from groove.theory.scales import SCALES, scale_notes
from tests.references.scale_material import LEFT_OUT, SAME, theirs

TONICS = ["C", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B"]
# An octatonic and a whole-tone scale have no one spelling: their pitch classes are compared.
SOUND_ONLY = {"whole tone", "whole-half diminished", "half-whole diminished"}


@pytest.mark.parametrize("name", SAME)
def test_scale_sounds_as_that_of_music21(name: str) -> None:
    tonic = NoteName.parse("C")
    found = [note.pitch_class for note in scale_notes(tonic, name)]
    assert found == theirs(name)


@pytest.mark.parametrize(
    "name", [n for n, (_, at) in SAME.items() if at == 1 and n not in SOUND_ONLY | set(LEFT_OUT)]
)
def test_scale_is_spelled_as_that_of_music21(name: str) -> None:
    def reference(tonic: str) -> list[str]:
        made = SAME[name][0](tonic.replace("b", "-"))
        low = made.tonic.transpose(0)
        low.octave = 4
        high = low.transpose("P8")
        names = [p.name for p in made.getPitches(low, high, direction=scale.Direction.ASCENDING)]
        return [n.replace("-", "b") for n in names[:-1]]

    assert {t: [str(n) for n in scale_notes(NoteName.parse(t), name)] for t in TONICS} == {
        t: reference(t) for t in TONICS
    }


def test_blues_scale_is_the_minor_pentatonic_with_a_flat_fifth() -> None:
    """music21 has none; common practice."""
    tonic = NoteName.parse("A")
    pentatonic = set(scale_notes(tonic, "minor pentatonic"))
    assert set(scale_notes(tonic, "blues")) - pentatonic == {NoteName.parse("Eb")}


def test_major_blues_scale_is_the_blues_scale_of_the_relative_minor() -> None:
    """music21 has none; common practice."""
    major = set(scale_notes(NoteName.parse("C"), "major blues"))
    assert major == set(scale_notes(NoteName.parse("A"), "blues"))


def test_every_scale_is_compared() -> None:
    assert set(SCALES) == set(SAME) | {"blues", "major blues"}
