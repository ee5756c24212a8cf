"""The notation of phrases."""

import contextlib
import json
import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.errors import GrooveError
from groove.instrument.fretboard import Place
from groove.instrument.positions import as_data
from groove.lesson.phrase_notation import Note, as_text, read_phrase, read_written
from groove.theory.pitch import NoteName
from tests.instrument.fret_material import GUITAR

A = NoteName.parse("A")


def test_string_and_fret_and_note_name_are_the_same_note() -> None:
    by_fret, by_name = read_phrase("4f7 A3", GUITAR, A)
    assert by_fret.pitch == by_name.pitch == 57
    assert (by_fret.place, by_name.place) == (Place(4, 7), None)


def test_lengths_are_beats_and_one_where_left_out() -> None:
    beats = [note.beats for note in read_phrase("A3 C4:1/2 3f7:3/2 D4:2", GUITAR, A)]
    assert beats == [1, Fraction(1, 2), Fraction(3, 2), 2]


def test_frets_are_spelled_near_the_tonic() -> None:
    assert read_phrase("4f8", GUITAR, NoteName.parse("F"))[0].full_name == "Bb3"
    assert read_phrase("4f8", GUITAR, NoteName.parse("B"))[0].full_name == "A#3"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "0 notes; 1 to 32"),
        ("A3 " * 33, "33 notes; 1 to 32"),
        ("A3 Q4", "'Q4' is no note"),
        ("A", "'A' is no note"),
        ("7f3", "7f3 is not on this neck; strings are 1 to 6, frets 0 to 24"),
        ("1f25", "1f25 is not on this neck"),
        ("C1", "C1 is not on this neck, which has E2 to E6"),
        ("A3:", "'A3:' has no length"),
        ("A3:0", "no length"),
        ("A3:1/0", "no length"),
        ("A3:17", "up to 16"),
        ("A3:x", "no length"),
        (":1", "':1' is no note"),
        ("~:1 A3", "'~:1' ties no note"),
        ("h3f7", "'h3f7' is joined to no note"),
        ("3f5 -:1 h3f7", "joined to no note"),
        ("3f7 h3f5", "'h3f5' can't be hammered up to from D4"),
        ("3f7 p2f5", "can't be pulled down to"),
        ("3f7^2", "after ^ stand 1/4, 1/2, 1"),
        ("3f0^1", "bends an open string"),
        ("3f5+3f7", "can't be struck at once"),
        ("-:1", "0 notes; 1 to 32"),
    ],
)
def test_wrong_phrase_is_one_line_that_names_the_note(text: str, says: str) -> None:
    with pytest.raises(GrooveError, match=re.escape(says)) as error:
        read_phrase(text, GUITAR, A)
    assert "\n" not in str(error.value)


def test_without_strings_notes_beyond_any_neck_are_read() -> None:
    assert [note.pitch for note in read_phrase("C1 C8", None, A)] == [24, 108]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("C4 3f5", "3f5 is a string and a fret, for stringed instruments alone; write notes by"),
        ("Cb0", "Cb0 is too low; C0 to G9 are allowed"),
        ("G#9", "G#9 is too high; C0 to G9 are allowed"),
        ("Q4", "'Q4' is no note; write C4"),
        (":1", "':1' is no note; write C4, or"),
    ],
)
def test_without_strings_wrong_phrase_is_one_line_that_names_the_note(text: str, says: str) -> None:
    with pytest.raises(GrooveError, match=re.escape(says)) as error:
        read_phrase(text, None, A)
    assert "\n" not in str(error.value)


@given(st.text(alphabet="ABCf#b0123456789:/ -²", max_size=20))
def test_any_text_is_a_phrase_or_an_error_for_people(text: str) -> None:
    with contextlib.suppress(GrooveError):
        assert all(GUITAR.places(note.pitch) for note in read_phrase(text, GUITAR, A))


@given(st.lists(st.tuples(st.integers(1, 6), st.integers(0, 24)), min_size=1, max_size=8))
def test_names_of_a_phrase_read_back_as_the_same_notes(places: list[tuple[int, int]]) -> None:
    phrase = read_phrase(" ".join(f"{s}f{f}" for s, f in places), GUITAR, A)
    again = read_phrase(" ".join(note.full_name for note in phrase), GUITAR, A)
    assert [n.pitch for n in again] == [GUITAR.pitch(Place(*place)) for place in places]
    assert all(isinstance(note, Note) for note in again)


def test_rests_ties_and_bar_lines_take_their_beats() -> None:
    phrase = read_written("3f5:1/2 | -:1 3f7:1 ~:3/2 -:2 4f7 -:1", GUITAR, A)
    assert [(note.rest, note.beats) for note in phrase.notes] == [
        (0, Fraction(1, 2)), (1, Fraction(5, 2)), (2, 1),
    ]  # fmt: skip
    assert phrase.bar_lines == (Fraction(1, 2),)
    assert phrase.beats == 8


def test_joined_bent_and_double_notes() -> None:
    """h, p, s as tablature has them; bends in shares of a whole step (common practice)."""
    first, hammered, pulled, slid, bent, double = read_phrase(
        "3f5 h3f7 p3f5 s3f9 3f7^1v:2 3f5+2f5", GUITAR, A
    )
    assert [n.joined for n in (first, hammered, pulled, slid)] == ["", "hammer", "pull", "slide"]
    assert (bent.bend, bent.release, bent.beats) == (2, True, 2)
    assert [n.pitch for n in (double, *double.others)] == [60, 64]
    assert as_text((hammered, bent, double)) == "hD4:1 D4^1v:2 C4+E4:1"


PIECES = st.sampled_from(
    ["3f5", "h3f7:1/2", "p3f5", "s3f9", "3f7^1v:2", "3f7^1/4", "3f5+2f5", "-:1/2", "~:1", "|", "E4"]
)


@given(st.lists(PIECES, min_size=1, max_size=12))
def test_a_phrase_by_name_reads_back_as_it_was(words: list[str]) -> None:
    with contextlib.suppress(GrooveError):
        phrase = read_phrase(" ".join(words), GUITAR, A)
        again = read_phrase(as_text(phrase), GUITAR, A)
        bare = [replace(n, place=None, others=tuple(replace(o, place=None) for o in n.others))
                for n in phrase]  # fmt: skip
        assert list(again) == bare


def test_phrase_is_data_for_json() -> None:
    (note,) = read_phrase("4f7:3/2", GUITAR, A)
    assert json.loads(json.dumps(as_data(note))) == {
        "name": "A", "pitch": 57, "beats": "3/2", "place": {"string": 4, "fret": 7},
        "rest": "0", "joined": "", "bend": "0", "release": False, "others": [],
    }  # fmt: skip
