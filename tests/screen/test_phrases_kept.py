"""Phrases in a form whose key is changed: they go with their chords."""

from __future__ import annotations

from pathlib import Path

import pytest

from groove.form.model import Form
from groove.form.read import read_form
from groove.form.readers import READERS
from groove.instrument.fretboard import Tuning, read_tuning
from groove.lesson.guide import write_guide
from groove.lesson.teacher_phrases import TeacherPhrase, teacher_phrases
from groove.screen.edits import edit_of

PHRASES = """
[[phrases]]
name = "D E C D"
notes = "D4:1/2 E4:1/2 C4 D4:2"

[[phrases]]
name = "bent"  # slowly
notes = "3f5:1/2 h3f7:1/2 | 2f5:1/2 3f7^1/2v:1/2 3f5 4f7 -"
over = "{four}"

[[phrases]]
name = "low"
notes = "4f2+3f2 2f0 -:2"
over = "{named}"
tuning = "bass"
"""
MAJOR = 'key = "A"\nchords = "I7:4 IV7:2 I7:2 V7 IV7 I7 V7"\n' + PHRASES.format(
    four="IV7", named="E7"
)
MINOR = 'key = "Cm"\nchords = "Im7:2 IVm7:2 V7 Im7"\n' + PHRASES.format(four="IVm7", named="G7")
ABSOLUTE = 'key = "A"\nchords = "| A7 | D7 | E7 | A7 |"\n' + PHRASES.format(four="IV7", named="E7")
GUITAR = read_tuning("guitar")


def form_of(text: str, tmp_path: Path, key: str = "") -> Form:
    path = tmp_path / "form.toml"
    path.write_text(text, "utf-8")
    return read_form(path, key=key) if key else read_form(path)


def phrases(form: Form, tuning: Tuning | None = GUITAR) -> tuple[TeacherPhrase, ...]:
    return teacher_phrases(write_guide(form, READERS["concert"]), tuning)


def in_key(text: str, key: str) -> str:
    return edit_of({"do": "field", "name": "key", "value": key})(text)


@pytest.mark.parametrize(
    ("text", "key"),
    [(MAJOR, key) for key in ("E", "Gb", "Bb")] + [(MINOR, "Am"), (MINOR, "F#m")],
)
def test_a_form_in_a_new_key_has_the_phrases_of_one_that_is_moved_there(
    text: str, key: str, tmp_path: Path
) -> None:
    changed = in_key(text, key)
    for tuning in (GUITAR, None):
        moved = phrases(form_of(text, tmp_path, key), tuning)
        assert phrases(form_of(changed, tmp_path), tuning) == moved
    assert phrases(form_of(changed, tmp_path, "D")) == phrases(form_of(text, tmp_path, "D"))
    again = in_key(changed, "Gm" if text == MINOR else "G")
    home = "Cm" if text == MINOR else "A"
    assert phrases(form_of(in_key(again, home), tmp_path)) == phrases(form_of(text, tmp_path))


def test_a_phrase_names_the_key_that_the_form_had_and_its_notes_stay() -> None:
    changed = in_key(MAJOR, "E")
    assert changed.count('key = "A"\n') == 3
    assert changed.replace('key = "A"\n', "") == MAJOR.replace('key = "A"\n', 'key = "E"\n')
    assert in_key(changed, "F").count('key = "A"\n') == 3
    assert in_key(MAJOR, "Am") == MAJOR.replace('"A"', '"Am"')


def test_what_was_over_the_first_chord_is_over_the_first_chord(tmp_path: Path) -> None:
    over = phrases(form_of(in_key(MAJOR, "E"), tmp_path))[0].written
    assert str(over.chord.root) == "E"
    assert [str(note.name) for note in over.line.notes] == ["A", "B", "G", "A"]


def test_phrases_stay_over_chords_that_stay(tmp_path: Path) -> None:
    """A form whose chords are written by name, and whose key was the wrong one."""
    changed = in_key(ABSOLUTE, "D")
    before, after = phrases(form_of(ABSOLUTE, tmp_path)), phrases(form_of(changed, tmp_path))
    for place in (0, 2):
        assert after[place].written.chord == before[place].written.chord
        notes = [[n.pitch for n in each[place].written.line.notes] for each in (before, after)]
        assert notes[0] == notes[1]
    assert str(after[1].written.chord.root) == "G"  # of the fourth step
    keyed = in_key(in_key(MAJOR, "E"), "A").replace(
        'chords = "I7:4 IV7:2 I7:2 V7 IV7 I7 V7"', 'chords = "| A7 | D7 | E7 | A7 |"'
    )
    again = phrases(form_of(in_key(keyed, "D"), tmp_path))
    assert again[0].written.line.notes[0].pitch == before[0].written.line.notes[0].pitch


def test_chords_that_are_written_in_a_new_key_take_the_phrases_along(tmp_path: Path) -> None:
    changed = edit_of({"do": "pace", "key": "E"})(ABSOLUTE)
    assert 'chords = "| E7 | A7 | B7 | E7 |"' in changed
    assert phrases(form_of(changed, tmp_path)) == phrases(form_of(ABSOLUTE, tmp_path, "E"))


def test_a_file_without_a_key_has_its_phrases_in_c(tmp_path: Path) -> None:
    text = MAJOR.replace('key = "A"\n', "")
    keyed = MAJOR.replace('key = "A"', 'key = "C"')
    assert phrases(form_of(text, tmp_path, "E")) == phrases(form_of(keyed, tmp_path, "E"))
    assert phrases(form_of(in_key(text, "E"), tmp_path)) == phrases(form_of(keyed, tmp_path, "E"))


def test_a_key_that_is_none_changes_no_phrase() -> None:
    assert in_key(MAJOR, "H") == MAJOR.replace('"A"', '"H"')
