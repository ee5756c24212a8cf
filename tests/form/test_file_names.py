"""File names for a form's files."""

import re

import pytest

import groove
from groove.form.file_names import file_stem


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
