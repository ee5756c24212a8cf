"""The spelling of scales over a chord."""

import pytest

from groove.theory.chords import parse_chord
from groove.theory.scale_spelling import spelled_over


@pytest.mark.parametrize(
    ("chord", "written"),
    [
        ("Bb7", "Bb Cb Db D E Gb Ab"),
        ("Bb7b9", "Bb Cb Db D E Gb Ab"),
        ("C7", "C Db Eb E Gb Ab Bb"),
        ("C7alt", "C Db D# E F# Ab Bb"),
        ("Db7", "Db D Fb F G A Cb"),
        ("E7alt", "E F G G# A# C D"),
        ("D7alt", "D Eb F F# G# Bb C"),
        ("Eb7alt", "Eb Fb F# G A Cb Db"),
    ],
)
def test_altered_scale_is_spelled_with_the_names_of_its_chord(chord: str, written: str) -> None:
    """b9 on the next letter; #9 as a minor third where the chord has none, no double signs, no E#:
    common practice."""
    read = parse_chord(chord)
    assert " ".join(map(str, spelled_over(read, read.root, "altered"))) == written


@pytest.mark.parametrize("root", ["B", "F#", "C", "E", "Ab", "C#"])
def test_diminished_scale_has_no_letter_both_sharp_and_flat(root: str) -> None:
    """B C# D E F G Ab Bb over Bdim7: common practice."""
    read = parse_chord(root + "dim7")
    names = spelled_over(read, read.root, "whole-half diminished")
    sharp = {name.letter for name in names if name.sharps > 0}
    assert sharp.isdisjoint(name.letter for name in names if name.sharps < 0)
    assert len({name.pitch_class for name in names}) == 8
