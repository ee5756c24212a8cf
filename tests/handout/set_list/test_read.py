"""Reading a set list: its tunes, their options, and its errors."""

from __future__ import annotations

from pathlib import Path

import pytest

import groove
from groove.errors import OptionError
from groove.form.build import FormError, Layer
from groove.handout.set_list.read import read_set
from tests.handout.set_list.set_material import FERRY, FRIDAY, set_file


def test_tunes_are_read_from_beside_the_set_below_it_and_from_the_shipped_ones(
    tmp_path: Path,
) -> None:
    found = read_set(set_file(tmp_path))
    assert found.title == "Friday at the Quay"
    assert [form.title for form in found.tunes] == [
        "Ferry Landing", "Twelve-bar blues", "Ferry Again",
    ]  # fmt: skip
    assert found.readers == ("concert", "Bb", "drums")


def test_tune_with_options_is_the_form_read_with_them(tmp_path: Path) -> None:
    _, blues, again = read_set(set_file(tmp_path)).tunes
    assert blues == groove.read_form("twelve-bar", key="C", choruses=1)
    assert again == groove.read_form(tmp_path / "ferry.toml", tempo=90, title="Ferry Again")


def test_options_stand_above_those_of_every_tune(tmp_path: Path) -> None:
    options = Layer({"tempo": 100, "title": "Saturday"}, lambda field: field, is_options=True)
    found = read_set(set_file(tmp_path), options, "Eb")
    assert (found.title, found.readers) == ("Saturday", ("concert", "Eb"))
    assert {form.tempo for form in found.tunes} == {100}
    assert found.tunes[0].title == "Ferry Landing"


@pytest.mark.parametrize(
    ("found", "wrong", "said"),
    [
        ('key = "C"', 'key = "H"', "friday.toml, line 10, key: 'H' is no key"),
        ("tempo = 90", "tempos = 90", "line 15, tempos: unknown field 'tempos'; did you mean"),
        ('"twelve-bar"', '"twelf-bar"', "line 9, form 'twelf-bar': not there; did you mean twelve"),
        ('"twelve-bar"', '"../ferry.toml"', "line 9, form: found '../ferry.toml'; a file beside"),
        ('"twelve-bar"', '"none.toml"', "none.toml: can't be read"),
        ('"Bb, drums"', '"Bb, drms"', "line 3, for: found 'drms'; did you mean drums?"),
        ('"Bb, drums"', "3", "line 3, for: found '3'; write names"),
        ("title", "titel", "line 2, titel: unknown field 'titel'; did you mean title?"),
        ('form = "twelve-bar"', "", "line 8, tunes: tune 2 has no form"),
    ],
)  # fmt: skip
def test_error_in_a_tune_has_its_place(tmp_path: Path, found: str, wrong: str, said: str) -> None:
    path = set_file(tmp_path, FRIDAY.replace(found, wrong, 1))
    with pytest.raises(FormError) as raised:
        read_set(path)
    (problem,) = raised.value.problems
    assert problem.startswith(str(path))
    assert said in problem
    assert "\n" not in problem


def test_every_tune_with_an_error_is_named(tmp_path: Path) -> None:
    text = FRIDAY.replace('key = "C"', 'key = "H"').replace("tempo = 90", "tempo = 9")
    with pytest.raises(FormError) as raised:
        read_set(set_file(tmp_path, text))
    assert [problem.split(": ")[0] for problem in raised.value.problems] == [
        f"{tmp_path}/friday.toml, line 10, key", f"{tmp_path}/friday.toml, line 15, tempo",
    ]  # fmt: skip


def test_error_in_the_form_of_a_tune_names_the_tune_and_the_form(tmp_path: Path) -> None:
    path = set_file(tmp_path)
    (tmp_path / "later/ferry.toml").write_text(FERRY.replace("tempo = 120", "tempo = 9"))
    with pytest.raises(FormError, match=r"friday.toml, line 14, .*later/ferry.toml, line 4, tempo"):
        read_set(path)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "empty"),
        ('title = "Friday"', "no tunes; "),
        (FERRY, "it is a form; groove make"),
        ("tunes = []", "1 to 99 tunes are allowed"),
        ("tunes = 3", "1 to 99 tunes are allowed"),
        ("tunes = [3]", "tune 1 has no form"),
        ('[[tunes]]\nform = ""', "found ''"),
        ("[[tunes]]\nform = 3", "found '3'"),
        ('[[tunes]]\nform = "-"', "found '-'"),
        ('[[tunes]]\nform = "friday.toml"', "a set list"),
    ],
)
def test_bad_set_is_refused_in_a_line(tmp_path: Path, text: str, said: str) -> None:
    with pytest.raises(FormError) as raised:
        read_set(set_file(tmp_path, text))
    assert said in raised.value.problems[0]


def test_unknown_reader_of_an_option_is_an_error_of_the_option(tmp_path: Path) -> None:
    with pytest.raises(OptionError):
        read_set(set_file(tmp_path), readers="drms")


def test_readers_are_named_once_however_they_are_written(tmp_path: Path) -> None:
    found = read_set(set_file(tmp_path), readers=["bb, Bb,Alto Sax", "concert, alto-sax"])
    assert found.readers == ("concert", "Bb", "alto-sax")


def test_set_in_a_folder_with_a_comma_names_the_tune_of_a_bad_form(tmp_path: Path) -> None:
    path = set_file(tmp_path / "a, b")
    (path.parent / "ferry.toml").write_text(FERRY.replace("tempo = 120", "tempo = 9"))
    with pytest.raises(FormError, match=r"friday.toml, line 6, .*ferry.toml, line 4, tempo"):
        read_set(path)
