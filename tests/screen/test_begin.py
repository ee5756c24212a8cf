"""The beginning of a lesson: what its file holds, and how it is named."""

from __future__ import annotations

import base64
import os
from pathlib import Path
from typing import Any

import pytest

from groove import library
from groove.errors import GrooveError
from groove.form.read import read_form
from groove.screen.open_form import OpenForm
from groove.screen.start.begin import begin
from groove.screen.start.listing import Listing
from groove.screen.start.routes import shipped
from groove.screen.start.voice import newest_voice

FORM = '# Last week\'s.\ntitle = "Ferry Landing"  # at the lake\nkey = "G"\nchords = "I7:4"\n'


def begun(folder: Path, source: str, **asked: Any) -> Path:
    return folder / begin({"from": source, **asked}, folder)


def sent(folder: Path, name: str, content: bytes, **asked: Any) -> Path:
    return begun(folder, "file", name=name, content=base64.b64encode(content).decode(), **asked)


def test_an_earlier_lesson_is_copied_with_comments_under_a_new_title(tmp_path: Path) -> None:
    (tmp_path / "ferry.toml").write_text(FORM)
    path = begun(tmp_path, "lesson", name="ferry.toml", title=" Über  den See ")
    assert path.name == "uber-den-see.toml"
    assert path.read_text() == FORM.replace("Ferry Landing", "Über den See")
    again = begun(tmp_path, "lesson", name="ferry.toml", title="Über den See")
    assert again.name == "uber-den-see-2.toml"
    assert (tmp_path / "ferry.toml").read_text() == FORM


def test_what_is_unfinished_in_a_lesson_is_in_its_copy(tmp_path: Path) -> None:
    (tmp_path / "ferry.toml").write_text(FORM)
    opened = OpenForm.at(tmp_path / "ferry.toml", "")
    opened.edit(lambda text: text.replace("I7", "Xm7"), opened.version)
    path = begun(tmp_path, "lesson", name="ferry.toml", title="Lake")
    assert not path.exists()
    copy = OpenForm.at(path, "")
    assert copy.text == opened.text.replace("Ferry Landing", "Lake")
    assert copy.mistakes


def test_each_shipped_form_is_a_start_and_has_a_description(tmp_path: Path) -> None:
    assert {form["name"] for form in shipped()} == set(library.names("forms"))
    assert all(form["about"] for form in shipped())
    for form in shipped():
        path = begun(tmp_path, "shipped", name=form["name"])
        assert path.name == f"{form['name']}.toml"
        assert read_form(path).bars == form["bars"]
    titled = begun(tmp_path, "shipped", name="twelve-bar", title="Monday's")
    assert titled.name == "mondays.toml"
    assert read_form(titled).title == "Monday's"
    assert begun(tmp_path, "shipped", name="twelve-bar").name == "twelve-bar-2.toml"


VOICE = 'teacher = "Ada K."\nlink = "https://ada.example"\ninvite = "Send me \\"yours\\""\n'


def test_a_new_lesson_takes_over_whose_it_is_from_the_newest_that_says_so(tmp_path: Path) -> None:
    old = VOICE.replace("Ada", "Eva") + FORM
    for name, text, age in (("none", FORM, 1), ("newest", VOICE + FORM, 2), ("old", old, 3)):
        (tmp_path / f"{name}.toml").write_text(text)
        os.utime(tmp_path / f"{name}.toml", (1_700_000_000 - age,) * 2)
    empty = OpenForm.at(begun(tmp_path, "empty"), "").text
    assert empty == f'key = "C"\n{VOICE}'
    assert begun(tmp_path, "empty").name == "new-form.toml"  # as nothing has been written yet
    assert "new-form.toml" not in [entry.name for entry in Listing(tmp_path).entries()]
    titled = OpenForm.at(begun(tmp_path, "empty", title="Lake"), "").text
    assert titled == f'title = "Lake"\nkey = "C"\n{VOICE}'
    shipped_one = read_form(begun(tmp_path, "shipped", name="twelve-bar")).lesson
    assert (shipped_one.teacher, shipped_one.invite) == ("Ada K.", 'Send me "yours"')
    assert read_form(sent(tmp_path, "mine.toml", FORM.encode())).lesson.teacher == "Ada K."
    own = 'link = "https://own.example"\n' + FORM
    assert sent(tmp_path, "own.toml", own.encode()).read_text() == own
    assert begun(tmp_path, "lesson", name="none.toml", title="Copy").read_text() == FORM.replace(
        "Ferry Landing", "Copy"
    )


def test_what_is_no_name_or_link_is_not_taken_over(tmp_path: Path) -> None:
    (tmp_path / "odd.toml").write_text('teacher = 5\nlink = "javascript:x"\ninvite = ["a"]\n')
    (tmp_path / "link.toml").symlink_to(tmp_path / "odd.toml")
    (tmp_path / "broken.toml").write_text("teacher = ")
    assert newest_voice(tmp_path).fields == {}
    assert newest_voice(tmp_path / "none").fields == {}


def test_an_empty_form_is_a_draft_until_it_has_a_chord(tmp_path: Path) -> None:
    first = begun(tmp_path, "empty")
    assert (first.name, first.exists()) == ("new-form.toml", False)
    assert begun(tmp_path, "empty") == first  # as nothing has been written yet
    opened = OpenForm.at(first, "")
    opened.edit(lambda text: text + 'chords = "Xm7"\n', opened.version)
    assert begun(tmp_path, "empty").name == "new-form-2.toml"
    titled = begun(tmp_path, "empty", title="Lake")
    assert OpenForm.at(titled, "").text == 'title = "Lake"\nkey = "C"\n'


def test_a_file_of_ones_own_is_kept_as_it_is(tmp_path: Path) -> None:
    path = sent(tmp_path, "Ferry & Co.toml", FORM.encode())
    assert (path.name, path.read_text()) == ("ferry-co.toml", FORM)
    assert sent(tmp_path, "Ferry & Co.toml", FORM.encode()) == path  # it is there already
    other = sent(tmp_path, "ferry-co.toml", FORM.replace("G", "A").encode())
    assert other.name == "ferry-co-2.toml"


def test_a_file_with_mistakes_opens_as_a_draft(tmp_path: Path) -> None:
    path = sent(tmp_path, "bad.toml", b'title = "Br\xfccke"\nchords = "Xm7"\nkey 4', title="Bridge")
    assert path.name == "bridge.toml"
    assert not path.exists()
    assert OpenForm.at(path, "").text == 'title = "Brücke"\nchords = "Xm7"\nkey 4'


@pytest.mark.parametrize(
    ("asked", "trouble"),
    [
        (None, "a lesson begins with"),
        ({"from": "elsewhere"}, "a lesson begins with"),
        ({"from": ["lesson"]}, "a lesson begins with"),
        ({"from": "shipped", "name": "../forms/twelve-bar"}, "no form of this name"),
        ({"from": "shipped"}, "name: a text is needed"),
        ({"from": "lesson", "name": "../outside.toml"}, "there is no such form file"),
        ({"from": "lesson", "name": "link.toml"}, "there is no such form file"),
        ({"from": "lesson", "name": "a\0.toml"}, "there is no such form file"),
        ({"from": "lesson", "name": "a\ud800.toml"}, "there is no such form file"),
        ({"from": "empty", "title": "\ud800"}, "a title has up to"),
        ({"from": "empty", "title": 5}, "title: a text is needed"),
        ({"from": "empty", "title": "x" * 121}, "a title has up to 120 characters"),
        ({"from": "file", "name": "a.toml", "content": "no base64"}, "the file can't be read"),
        ({"from": "file", "name": "a.toml", "content": "QQ" * 80_000}, "a form is a short file"),
        ({"from": "file", "name": "a.toml", "content": "AAAA"}, "choose a form file"),
    ],
)
def test_what_can_not_be_begun_is_refused_and_leaves_nothing(
    tmp_path: Path, asked: Any, trouble: str
) -> None:
    folder = tmp_path / "lessons"
    folder.mkdir()
    (tmp_path / "outside.toml").write_text(FORM)
    (folder / "link.toml").symlink_to(tmp_path / "outside.toml")
    with pytest.raises(GrooveError, match=trouble):
        begin(asked, folder)
    assert [path.name for path in folder.iterdir()] == ["link.toml"]


@pytest.mark.parametrize(
    "name", ["../../out.toml", "..\\out.toml", ".toml", "/etc/x.toml", "…", ""]
)
def test_the_name_of_a_file_leads_nowhere_else(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "lessons"
    folder.mkdir()
    path = sent(folder, name, FORM.encode(), title="../../title")
    assert path.resolve().parent == folder.resolve()
    assert path.name == "title.toml"
    path = sent(folder, name, FORM.encode())
    assert path.resolve().parent == folder.resolve()
    assert [each.name for each in tmp_path.iterdir()] == ["lessons"]


def test_a_name_that_is_open_without_a_file_is_taken(tmp_path: Path) -> None:
    asked = {"from": "shipped", "name": "twelve-bar"}
    assert begin(asked, tmp_path, {"twelve-bar.toml"}.__contains__) == "twelve-bar-2.toml"
