"""Tunings and places of notes."""

import contextlib
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.errors import GrooveError, OptionError
from groove.instrument.fretboard import Place, read_tuning, tunings
from groove.theory.pitch import NoteName, octave, parse_pitch, spelled
from tests.instrument.fret_material import shipped_tunings


def test_tuning_is_read_by_name_in_any_case() -> None:
    assert read_tuning("Drop D") is tunings()["drop-d"]


def test_ukulele_is_re_entrant() -> None:
    ukulele = read_tuning("ukulele")
    assert ukulele.open(4) > ukulele.open(3)
    assert ukulele.lowest_string == 3


@pytest.mark.parametrize("name", tunings())
def test_shipped_tuning_reads_the_same_when_written_out(name: str) -> None:
    tuning = tunings()[name]
    written = " ".join(
        f"{note}{octave(NoteName.parse(note), pitch)}"
        for note, pitch in zip(tuning.names, tuning.open_strings, strict=True)
    )
    assert read_tuning(written).open_strings == tuning.open_strings


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("gitar", "did you mean guitar"),
        ("", "not known"),
        ("D2 A2 H3", "'H3' is no note with its octave"),
        ("D2 A", "'A' is no note with its octave"),
        ("D2 A99", "out of range"),
        (" ".join(["E2"] * 13), "13 strings; 1 to 12"),
        ("E2\nA2 x", "'x' is no note"),
    ],
)
def test_wrong_tuning_is_one_line_that_says_what_is_wrong(text: str, says: str) -> None:
    with pytest.raises(OptionError, match=re.escape(says)) as error:
        read_tuning(text)
    assert "\n" not in str(error.value)


@given(st.text(max_size=30))
def test_any_text_is_a_tuning_or_an_error_for_people(text: str) -> None:
    with contextlib.suppress(GrooveError):
        assert read_tuning(text).open_strings


@given(shipped_tunings, st.integers(0, 127))
def test_places_of_a_note_are_all_that_sound_it(tuning, pitch: int) -> None:  # type: ignore[no-untyped-def]
    every = {
        Place(string, fret)
        for string in tuning.strings
        for fret in range(tuning.frets + 1)
        if tuning.open(string) + fret == pitch
    }
    assert set(tuning.places(pitch)) == every


@given(st.integers(12, 96), st.integers(-6, 6))
def test_spelling_sounds_the_note(pitch: int, fifths: int) -> None:
    name = spelled(pitch, NoteName(fifths))
    assert parse_pitch(f"{name}{octave(name, pitch)}") == (name, pitch)


def test_hand_has_a_finger_a_fret_and_stretches_with_the_outer_ones() -> None:
    guitar = read_tuning("guitar")
    assert [guitar.finger(fret, 5) for fret in range(4, 10)] == [1, 1, 2, 3, 4, 4]
    assert guitar.finger(0, 5) == 0


def test_mandolin_hand_has_two_frets_a_finger() -> None:
    mandolin = read_tuning("mandolin")
    assert [mandolin.finger(fret, 2) for fret in range(2, 9)] == [1, 1, 2, 2, 3, 3, 4]
