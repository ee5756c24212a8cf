"""Scales and the scale of a chord. Source: common practice; contents in tests/references."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.theory.pitch import NoteName
from groove.theory.quality import parse_quality
from groove.theory.scales import SCALES, chord_scale, scale_degrees, scale_notes


@pytest.mark.parametrize(
    ("suffix", "scale"),
    [
        ("7", "mixolydian"), ("9", "mixolydian"), ("13", "mixolydian"), ("m7", "dorian"),
        ("maj7", "major"), ("m7b5", "locrian"), ("dim7", "whole-half diminished"),
        ("7alt", "altered"), ("7#11", "lydian dominant"), ("7#5", "whole tone"),
        ("maj7#11", "lydian"), ("m(maj7)", "melodic minor"), ("13b9", "half-whole diminished"),
        ("7b9b13", "phrygian dominant"), ("7#9b13", "altered"), ("m6", "dorian"),
        ("maj7#5", "lydian augmented"), ("m7b9", "phrygian"), ("7sus4", "mixolydian"),
    ],
)  # fmt: skip
def test_plainest_scale_of_a_chord_is(suffix: str, scale: str) -> None:
    assert chord_scale(parse_quality(suffix)) == scale


@pytest.mark.parametrize(
    "suffix",
    ["", "m", "+", "dim", "6", "m6", "6/9", "7", "9", "11", "13", "maj7", "maj9", "m7", "m9",
     "m11", "m13", "m7b5", "dim7", "7b9", "7#9", "7b5", "7#5", "7b13", "7b9b13", "7sus4b9",
     "13#11", "7alt", "m(maj7)", "maj7#5", "dim(maj7)", "sus2", "5", "13b9", "(b5)"],
)  # fmt: skip
def test_scale_holds_the_whole_chord(suffix: str) -> None:
    quality = parse_quality(suffix)
    scale = {degree.semitones for degree in scale_degrees(chord_scale(quality))}
    assert {degree.semitones % 12 for degree in quality.degrees} <= scale


@pytest.mark.parametrize("name", SCALES)
def test_scale_rises_within_the_octave(name: str) -> None:
    steps = [degree.semitones for degree in scale_degrees(name)]
    assert steps == sorted(set(steps))
    assert (steps[0], steps[-1] < 12) == (0, True)


@given(st.sampled_from(list(SCALES)), st.integers(-7, 7), st.integers(-7, 7))
def test_scale_is_the_same_on_every_tonic(name: str, one: int, other: int) -> None:
    def above(fifths: int) -> list[int]:
        return [note.fifths - fifths for note in scale_notes(NoteName(fifths), name)]

    assert above(one) == above(other)
