"""The folder of the lessons: which one it is, and which form is opened."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from groove.errors import GrooveError
from groove.screen.lessons import has_lessons, opened
from groove.screen.open_form import OpenForm
from tests.command_line import call

FORM = 'key = "G"\nchords = "I7:4"\n'


def test_the_folder_of_the_lessons_is_that_of_the_form(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "ferry.toml").write_text(FORM)
    assert opened("mine/ferry.toml", None).path == Path("mine/ferry.toml")
    assert opened(f"{tmp_path}/mine/ferry.toml", None).path.parent == tmp_path / "mine"
    assert opened("twelve-bar", None).path == Path("twelve-bar.toml")
    assert opened(None, None).path == Path("new-form.toml")


def test_in_a_folder_that_is_named_a_form_is_looked_for_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    lessons = Path("mine")
    lessons.mkdir()
    (lessons / "ferry.toml").write_text(FORM)
    (tmp_path / "ferry.toml").write_text(FORM.replace("G", "A"))
    for name in ("ferry.toml", "mine/ferry.toml", f"{tmp_path}/mine/ferry.toml"):
        found = opened(name, lessons)
        assert (found.path, found.text) == (lessons / "ferry.toml", FORM)


@pytest.mark.parametrize("name", ["../ferry.toml", "deeper/ferry.toml", "/ferry.toml"])
def test_a_form_outside_the_folder_that_is_named_is_refused(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "mine"
    with pytest.raises(GrooveError, match=f"{name}: not in .*mine; leave --folder out, or name"):
        opened(name, folder)
    assert not list(tmp_path.iterdir())


def test_a_folder_has_lessons_once_a_form_file_lies_there(tmp_path: Path) -> None:
    assert not has_lessons(tmp_path / "none")
    new = opened(None, tmp_path)
    assert not has_lessons(tmp_path)  # its draft is no lesson yet
    new.edit(lambda text: text + 'chords = "I7"\n', new.version)
    assert has_lessons(tmp_path)


def test_without_a_form_the_lessons_are_shown_where_there_are_some(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[str] = []

    def served(_form: OpenForm, _port: int, ready: Callable[[str], None]) -> None:
        ready("http://here/")

    monkeypatch.setattr("groove.screen.serve.serve", served)
    monkeypatch.setattr("webbrowser.open", shown.append)
    assert call("open", "--folder", f"{tmp_path}").out == "http://here/\n"
    (tmp_path / "ferry.toml").write_text(FORM)
    assert call("open", "--folder", f"{tmp_path}").out == "http://here/#lessons\n"
    assert call("open", f"{tmp_path}/ferry.toml").out == "http://here/\n"
    assert shown == ["http://here/", "http://here/#lessons", "http://here/"]


def test_what_is_new_takes_over_whose_it_is_and_what_is_there_stays(tmp_path: Path) -> None:
    (tmp_path / "lake.toml").write_text('teacher = "Ada K."\nchords = "I7"\n')
    (tmp_path / "twelve-bar.toml").write_text('chords = "I7"\n')
    assert opened(None, tmp_path).text == 'key = "C"\nteacher = "Ada K."\n'
    assert 'teacher = "Ada K."\n' in opened("minor-twelve-bar", tmp_path).text
    assert opened("twelve-bar", tmp_path).text == 'chords = "I7"\n'
