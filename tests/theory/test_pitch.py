"""Note names and degrees. Source where none stands beside a check: common practice."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.theory.pitch import Degree, NoteName, degrees

names = st.integers(-15, 19).map(NoteName)  # what can be written with up to two signs
all_degrees = st.builds(Degree, st.integers(1, 13), st.integers(-2, 2))


@pytest.mark.parametrize(
    ("tonic", "degree", "note"),
    [
        ("A", "b3", "C"), ("Gb", "4", "Cb"), ("F#", "3", "A#"), ("Db", "b3", "Fb"),
        ("C#", "7", "B#"), ("Ab", "bb7", "Gbb"), ("D#", "3", "F##"), ("E", "#11", "A#"),
        ("B", "b9", "C"), ("Eb", "b13", "Cb"),
    ],
)  # fmt: skip
def test_degree_above_a_note_is_spelled_by_its_letter(tonic: str, degree: str, note: str) -> None:
    assert str(NoteName.parse(tonic) + Degree.parse(degree)) == note


@given(names)
def test_name_reads_back(name: NoteName) -> None:
    assert NoteName.parse(str(name)) == name


@given(all_degrees)
def test_degree_reads_back(degree: Degree) -> None:
    assert Degree.parse(str(degree)) == degree


@given(names, all_degrees)
def test_degree_sounds_its_semitones_above_the_note(name: NoteName, degree: Degree) -> None:
    assert (name + degree).pitch_class == (name.pitch_class + degree.semitones) % 12


@given(names, all_degrees)
def test_degree_stands_its_steps_above_the_letter(name: NoteName, degree: Degree) -> None:
    letters = "CDEFGAB"
    place = (letters.index(name.letter) + degree.step - 1) % 7
    assert (name + degree).letter == letters[place]


@given(names)
def test_twelve_fifths_are_the_same_pitch(name: NoteName) -> None:
    assert NoteName(name.fifths + 12).pitch_class == name.pitch_class


@pytest.mark.parametrize(
    ("text", "plain"), [("B♭", "Bb"), ("F♯", "F#"), ("Fx", "F##"), ("g", "G"), ("E♭♭", "Ebb")]
)
def test_name_may_be_written(text: str, plain: str) -> None:
    assert str(NoteName.parse(text)) == plain


@pytest.mark.parametrize("text", ["", "H", "Cbbb", "C#b", "C\n", "C4", " C", "#"])
def test_no_note_name(text: str) -> None:
    with pytest.raises(ValueError, match="is no note name"):
        NoteName.parse(text)


@given(st.text(max_size=8) | st.text("b#123456789", max_size=5))
def test_degrees_raise_only_value_error(text: str) -> None:
    with contextlib.suppress(ValueError):
        assert degrees(text) is not None
