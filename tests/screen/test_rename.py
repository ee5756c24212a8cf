"""A lesson that began without a title: its file gets the name that its title gives."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest

from groove.errors import GrooveError
from groove.screen.open_form import OpenForm, draft_of
from groove.screen.session import Session
from groove.screen.start.listing import Listing
from groove.screen.start.rename import better_name, rename

FORM = 'title = "Ferry Landing"  # at the lake\nkey = "G"\nchords = "I7:4"\n'
NAME, BETTER = "new-form.toml", "ferry-landing.toml"


@pytest.fixture
def session(tmp_path: Path) -> Session:
    (tmp_path / NAME).write_text(FORM)
    return Session(OpenForm.at(tmp_path / NAME, ""))


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_its_draft_and_its_history_go_with_it(session: Session, tmp_path: Path) -> None:
    lesson = session.lesson(NAME)
    form = lesson.form
    form.edit(lambda text: text.replace("G", "A"), form.version)
    form.edit(lambda text: text.replace("I7", "Xm7"), form.version)
    assert rename(session, lesson, BETTER, 0) == BETTER
    assert names(tmp_path) == [draft_of(tmp_path / BETTER).name, BETTER]
    assert (session.first, session.lesson(BETTER)) == (BETTER, lesson)
    assert not session.is_open(NAME)
    assert not form.changed_outside()
    form.undo(form.version)
    form.undo(form.version)
    assert (tmp_path / BETTER).read_text() == FORM
    assert names(tmp_path) == [BETTER]
    with pytest.raises(GrooveError, match="no such form file"):
        session.lesson(NAME)


def test_a_name_that_is_taken_gets_a_number(session: Session, tmp_path: Path) -> None:
    (tmp_path / BETTER).write_text("mine")
    draft_of(tmp_path / "ferry-landing-2.toml").write_text("mine")
    assert rename(session, session.lesson(NAME), BETTER, 0) == "ferry-landing-3.toml"
    assert (tmp_path / BETTER).read_text() == "mine"


def test_it_stays_where_a_window_or_another_file_would_lose_it(
    session: Session, tmp_path: Path
) -> None:
    lesson = session.lesson(NAME)
    lesson.windows.add(asyncio.Queue())
    with pytest.raises(GrooveError, match="open in another window"):
        rename(session, lesson, BETTER, 0)
    (tmp_path / "evening.toml").write_text(f'[[tunes]]\nform = "{NAME}"\n')
    with pytest.raises(GrooveError, match=r"evening\.toml names the file new-form\.toml"):
        rename(session, lesson, BETTER, 1)
    assert session.lesson(NAME) is lesson
    assert (tmp_path / NAME).read_text() == FORM


def test_where_the_system_refuses_all_is_as_it_was(
    session: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    lesson = session.lesson(NAME)
    lesson.form.edit(lambda text: text.replace("I7", "Xm7"), lesson.form.version)
    before, move = names(tmp_path), Path.rename

    def refused(path: Path, target: Path) -> Path:
        if target == draft_of(tmp_path / BETTER):
            raise OSError(28, "No space left on device")
        return move(path, target)

    monkeypatch.setattr(Path, "rename", refused)
    with pytest.raises(GrooveError, match="can't be renamed: No space"):
        rename(session, lesson, BETTER, 0)
    assert names(tmp_path) == before
    assert lesson.form.path.name == NAME
    assert session.is_open(NAME)


def test_it_is_offered_where_the_title_gives_another_name(tmp_path: Path) -> None:
    for name, text in (("new-form", FORM), ("new-form-2", 'chords = "I7"\n'), ("lake", FORM)):
        (tmp_path / f"{name}.toml").write_text(text)
    found = {entry.name: entry.better for entry in Listing(tmp_path).entries()}
    assert found == {NAME: BETTER, "new-form-2.toml": "", "lake.toml": ""}
    assert better_name("new-form-2.toml", "New form") == ""
