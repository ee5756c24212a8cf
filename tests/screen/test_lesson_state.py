"""The lesson as the screen's page gets it: parts, phrases as they are drawn, and what is empty."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import groove
from groove.form.lesson_fields import part_names
from groove.instrument.fretboard import read_tuning
from groove.lesson.guide import write_guide
from groove.lesson.teacher_phrases import teacher_phrases
from groove.screen.lesson.lesson_state import empty_parts, lesson_choices, lesson_state
from groove.screen.open_form import OpenForm

BLUES = 'key = "A"\nchords = "I7:2 IV7:2"\n'
NOTES = "4f7 3f5^1v:1/2 h3f7:1/2 3f7+2f5 | -:1 C5"


def state(folder: Path, text: str) -> dict[str, Any]:
    (folder / "ferry.toml").unlink(missing_ok=True)
    return lesson_state(OpenForm.at(folder / "ferry.toml", text))


def phrase(notes: str, more: str = "") -> str:
    return f'[[phrases]]\nname = "a"\nnotes = "{notes}"\n{more}\n'


def test_a_phrase_is_drawn_as_the_sheet_has_it(tmp_path: Path) -> None:
    text = BLUES + phrase(NOTES.replace("| ", ""), 'over = "IV7"')
    (drawn,) = state(tmp_path, text)["phrases"]
    form = groove.read_form(tmp_path / "ferry.toml")
    (sheet,) = teacher_phrases(write_guide(form), read_tuning("guitar"))
    line = sheet.written.line
    assert drawn["chord"] == "D7"
    assert drawn["bars"] == len(line.bars)
    for found, note in zip(drawn["notes"], line.notes, strict=True):
        assert note.place is not None
        assert (found["at"], found["length"], found["pitch"]) == (
            note.start,
            note.length,
            note.pitch,
        )
        assert (found["string"], found["fret"]) == (note.place.string, note.place.fret)
        assert found["gesture"] == {"bend": float(note.bend), "released": note.release}


def test_what_can_be_read_of_a_phrase_is_drawn(tmp_path: Path) -> None:
    opened = OpenForm.at(tmp_path / "ferry.toml", BLUES + phrase("4f7 3f5 3f7"))
    for notes, frets in (("4f7 3f5 9f9 3f7", [7, 5]), ("4f7 | 3f5 | 3f7", [7, 5, 7]), ("x", [])):
        opened.edit(lambda _before, notes=notes: BLUES + phrase(notes), opened.version)
        assert len(opened.mistakes) == 1
        (drawn,) = lesson_state(opened)["phrases"]
        assert [note["fret"] for note in (drawn or {"notes": []})["notes"]] == frets


def test_notes_are_named_in_the_key_and_necks_are_those_of_the_tunings(tmp_path: Path) -> None:
    found = state(tmp_path, BLUES.replace('"A"', '"Ab"') + phrase("4f1", 'tuning = "ukulele"'))
    assert found["names"][1] == "D♭"
    assert found["phrases"][0]["neck"] == lesson_choices()["necks"]["ukulele"]
    assert found["phrases"][0]["notes"][0]["pitch"] == 68  # string 4 of a ukulele is G4


def test_a_form_without_bars_has_parts_and_nothing_to_hear(tmp_path: Path) -> None:
    found = state(tmp_path, 'key = "C"\nlearner = "beginner"\n' + phrase("3f5"))
    assert found["sound"] is None
    assert found["phrases"] == [None]
    assert found["usual"][0] == "chart"
    assert len(found["usual"]) < len(found["parts"])


def test_parts_of_which_there_is_nothing_are_named(tmp_path: Path) -> None:
    state(tmp_path, BLUES + phrase("3f5"))
    form = groove.read_form(tmp_path / "ferry.toml")
    empty = empty_parts(form)
    assert "phrases" not in empty
    assert {"keys", "remarks"} <= set(empty) < set(part_names())


def test_a_phrase_in_another_key_is_drawn_in_its_own_in_the_words_of_the_sheet(
    tmp_path: Path,
) -> None:
    in_e = 'key = "E"\nchords = "I7:4"\n'
    for words, key, named in (("", "B♭", "C♭"), ('words = "german"\n', "B", "Ces")):
        (drawn,) = state(tmp_path, in_e + words + phrase("3f3", 'key = "Bb"'))["phrases"]
        assert drawn["chord"] == f"{key}7"
        assert drawn["notes"][0]["name"] == key
        assert drawn["key"] == [key, "E"]
        assert drawn["names"][11] == named
