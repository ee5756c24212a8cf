"""File names for a form's files."""

import re

import pytest

import groove
from groove.form.file_names import file_stem
from groove.wording import worded
from tests.form.road_material import arranged


@pytest.mark.parametrize(
    "title", ["Ferry Landing", "Лодка", "../../x", "a/b", "...", "-rf", "CON.", "é" * 120]
)
def test_a_file_s_name_is_one_plain_word(title: str) -> None:
    stem = file_stem(groove.read_form("twelve-bar", title=title))
    assert re.fullmatch(r"[^\W_][\w-]*_C_112", stem)
    assert len(stem.encode()) <= 80 + len("_C_112")


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Вечерний паром", "вечерний-паром"),
        ("Straße Øst", "strasse-øst"),
        ("Café à l'aube", "cafe-a-laube"),
        ("夜のバス", "夜のバス"),
        ("हिन्दी गीत", "हिन्दी-गीत"),
    ],
)
def test_a_title_in_any_script_keeps_its_letters(title: str, name: str) -> None:
    assert file_stem(groove.read_form("twelve-bar", title=title)) == f"{name}_C_112"


def test_a_language_says_how_its_letters_are_spelled_in_plain_ones() -> None:
    form = groove.read_form("twelve-bar", title="Übergrößen im März", words="german")
    with worded(form.lesson.words):
        assert file_stem(form) == "uebergroessen-im-maerz_C_112"


def test_cycle_and_ladder_of_an_open_line_are_in_the_name() -> None:
    sections = [{"name": "A", "chords": "I IV V I"}]
    solos = {"play": "A", "as": "solos", "times": 3, "open": True}
    order = ["A", solos | {"key_cycle": "fourths", "tempo_step": 4}]
    named = [file_stem(arranged(sections=sections, order=way)) for way in (["A", solos], order)]
    assert named == ["untitled_C_120", "untitled_C-fourths_120-to-128"]
