"""Showing a folder by the system's own program."""

from __future__ import annotations

import os
import sys
import webbrowser
from pathlib import Path

import pytest

from groove.screen.posting import opener
from groove.screen.posting.opener import opening_command, show

pytestmark = pytest.mark.skipif(os.name == "nt", reason="programs of other systems")


@pytest.fixture
def desktop(tmp_path: Path) -> dict[str, str]:
    """The environment of a desktop whose opening program writes down what it is called with."""
    program = tmp_path / "bin" / "xdg-open"
    program.parent.mkdir()
    program.write_text('#!/bin/sh\nprintf "%s\\n" "$#" "$1" >"$0.called"\n')
    program.chmod(0o755)
    return {"PATH": f"{program.parent}:/bin:/usr/bin", "DISPLAY": ":0"}


def test_each_system_has_its_own(tmp_path: Path, desktop: dict[str, str]) -> None:
    place = str(tmp_path)
    assert opening_command(tmp_path, "darwin", {}) == ["open", place]
    assert opening_command(tmp_path, "linux", desktop) == [f"{place}/bin/xdg-open", place]
    assert opening_command(tmp_path, "linux", {"PATH": desktop["PATH"]}) is None  # no display
    assert opening_command(tmp_path, "linux", {"PATH": "/none", "DISPLAY": ":0"}) is None


def test_a_name_is_one_argument_whatever_stands_in_it(
    tmp_path: Path, desktop: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    for name, value in desktop.items():
        monkeypatch.setenv(name, value)
    monkeypatch.chdir(tmp_path)
    folder = Path("--help; touch x $(touch y) 'a b'")
    folder.mkdir()
    assert show(folder)
    called = (tmp_path / "bin" / "xdg-open.called").read_text()
    assert called.splitlines() == ["1", str(tmp_path / folder)]
    assert not (tmp_path / "x").exists()
    assert not (tmp_path / "y").exists()


def test_where_the_system_has_no_program_a_browser_shows_a_page_but_no_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(opener, "opening_command", lambda _path: None)
    opened: list[str] = []

    class Window(webbrowser.BackgroundBrowser):
        def open(self, url: str, new: int = 0, autoraise: bool = True) -> bool:
            opened.append(url)
            return True

    page = tmp_path / "index.html"
    for browser, is_shown in ((Window("window"), True), (webbrowser.GenericBrowser("text"), False)):
        monkeypatch.setattr("webbrowser.get", lambda browser=browser: browser)
        assert show(page) is is_shown
        assert not show(tmp_path)
    assert opened == [page.as_uri()]

    def none() -> webbrowser.BaseBrowser:
        raise webbrowser.Error

    monkeypatch.setattr("webbrowser.get", none)
    assert not show(page)


def test_a_program_that_fails_has_not_shown_it(
    tmp_path: Path, desktop: dict[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    for name, value in desktop.items():
        monkeypatch.setenv(name, value)
    (tmp_path / "bin" / "xdg-open").write_text("#!/bin/sh\nexit 4\n")
    assert not show(tmp_path)
