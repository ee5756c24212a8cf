"""The teacher's own phrases in the key of the sheet, and over each chord."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.errors import GrooveError
from groove.form.build import FormError
from groove.form.model import Form
from groove.form.read import read_form
from groove.form.readers import READERS
from groove.instrument.fretboard import Place, Tuning, read_tuning
from groove.lesson.guide import write_guide
from groove.lesson.teacher_phrases import TeacherPhrase, check_phrases, teacher_phrases
from groove.theory.chords import parse_chord
from groove.theory.keys import twelve_keys
from tests.examples import examples

FORM = """
title = "Quay Steps"
key = "A"
feel = "shuffle"
chords = "I7:4 IV7:2 I7:2 V7 IV7 I7 V7"
[[phrases]]
name = "answer"
words = "Let the last note ring."
notes = "3f5:1/2 h3f7:1/2 | 2f5:1/2 3f7^1/4:1/2 3f5 4f7 -"
[[phrases]]
name = "sixths"
notes = "3f6+1f5 3f4+1f3 -:2"
over = "V7"
"""
KEYS = [key.symbol for key in twelve_keys(read_form("twelve-bar").key)]
TUNINGS = st.sampled_from(["guitar", "drop-d", "bass", "ukulele", "mandolin"])


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "quay.toml"
    path.write_text(FORM, "utf-8")
    return path


def phrases(
    form: Form, tuning: Tuning | None = None, reader: str = "concert"
) -> list[TeacherPhrase]:
    return list(teacher_phrases(write_guide(form, READERS[reader]), tuning))


def test_where_it_was_written_a_phrase_keeps_its_places(path: Path) -> None:
    answer, sixths = phrases(read_form(path), read_tuning("guitar"))
    assert (answer.name, answer.words) == ("answer", "Let the last note ring.")
    assert [note.place for note in answer.written.line.notes] == [
        Place(3, 5), Place(3, 7), Place(2, 5), Place(3, 7), Place(3, 5), Place(4, 7),
    ]  # fmt: skip
    assert [note.start for note in answer.written.line.notes][:3] == [-960, -480, 0]
    assert answer.written.line.notes[3].bend == Fraction(1, 2)
    assert sixths.written.chord == parse_chord("E7")


def test_over_another_chord_third_goes_to_third_and_double_notes_keep_their_strings(
    path: Path,
) -> None:
    answer, sixths = phrases(read_form(path), read_tuning("guitar"))
    over_d7 = next(m for m in answer.moved if m.chord == parse_chord("D7"))
    assert [str(note.name) for note in over_d7.line.notes] == ["F", "G", "A", "G", "F", "D"]
    assert {m.chord for m in sixths.moved} == {parse_chord("A7"), parse_chord("D7")}
    for moved in sixths.moved:
        strings = [note.place.string for note in moved.line.notes if note.place]
        assert strings == [3, 1, 3, 1]


@settings(max_examples=examples(25))
@given(key=st.sampled_from(KEYS), tuning=TUNINGS)
def test_in_every_key_and_tuning_a_phrase_is_the_same_and_lies_on_the_neck(
    key: str, tuning: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("forms") / "quay.toml"
    path.write_text(FORM, "utf-8")
    neck = read_tuning(tuning)
    for home, moved in zip(
        phrases(read_form(path)), phrases(read_form(path, key=key), neck), strict=True
    ):
        here, there = home.written.line.notes, moved.written.line.notes
        assert len({b.pitch - a.pitch for a, b in zip(here, there, strict=True)}) == 1
        assert len({b.name.fifths - a.name.fifths for a, b in zip(here, there, strict=True)}) == 1
        for over in (moved.written, *moved.moved):
            for before, note in zip(over.line.notes, over.line.notes[1:], strict=False):
                assert note.place
                assert neck.pitch(note.place) == note.pitch
                if note.joined and before.place:
                    assert note.place.string == before.place.string
                assert not note.bend or note.place.fret


def test_without_a_neck_a_phrase_stands_on_the_readers_staff(path: Path) -> None:
    answer, _ = phrases(read_form(path), None, "Bb")
    assert [str(note.name) for note in answer.written.line.notes][:3] == ["D", "E", "F#"]
    assert all(60 <= note.pitch <= 84 for note in answer.written.line.notes)


@pytest.mark.parametrize(
    ("field", "says"),
    [
        ('notes = "3f5 Q4"', "'Q4' is no note"),
        ('notes = "3f5:1 3f5:4 | 3f7:4"', "a bar line stands after 5 beats; a bar of 4/4 has 4"),
        ('notes = "3f5"\ntuning = "lute"', "lute"),
    ],
)
def test_wrong_phrase_is_one_line_that_names_it(tmp_path: Path, field: str, says: str) -> None:
    path = tmp_path / "wrong.toml"
    path.write_text(f'chords = "I7:4"\n[[phrases]]\nname = "answer"\n{field}\n', "utf-8")
    with pytest.raises(GrooveError) as error:
        check_phrases(read_form(path))
    assert str(error.value).startswith("phrases, 'answer': ")
    assert says in str(error.value)
    assert "\n" not in str(error.value)


@pytest.mark.parametrize(
    ("field", "says"),
    [
        ('name = "a"', "phrase 1 lacks its name or its notes"),
        ('name = "a"\nnotes = "3f5"\nword = "x"', "did you mean words?"),
        ('name = "a"\nnotes = "3f5"\nover = "H7"', "H7"),
        ('name = "a"\nnotes = 3', "which is no text"),
    ],
)
def test_wrong_table_of_a_phrase_is_an_error_of_the_form(
    tmp_path: Path, field: str, says: str
) -> None:
    path = tmp_path / "wrong.toml"
    path.write_text(f'chords = "I7:4"\n[[phrases]]\n{field}\n', "utf-8")
    with pytest.raises(FormError) as error:
        read_form(path)
    assert says in str(error.value)
