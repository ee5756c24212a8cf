"""The launcher: each format by its own rules, tried with names that have every sign."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest

from groove.errors import GrooveError
from groove.screen.launcher import MARK, write_launcher
from tests.command_line import call

SIGNS = """it's "Mo" & $HOME `x` 100% %f \\ (a|b) <c> ;=~* #1 ü"""
"""For the name of a folder."""
SHOW = "import json, sys; open(sys.argv[1], 'w').write(json.dumps(sys.argv[2:]))"


@pytest.fixture
def lessons(tmp_path: Path) -> Path:
    folder = tmp_path / SIGNS
    folder.mkdir()
    return folder


def launcher(folder: Path, system: str, home: Path, *program: str) -> Path:
    variables = {"HOME": f"{home}", "USERPROFILE": f"{home}", "XDG_DATA_HOME": f"{home}/data"}
    return write_launcher(folder, program or ("groove",), system, variables)[0]


def words_when_run(command: list[str], told: Path) -> list[str]:
    subprocess.run(command, check=True, timeout=20, capture_output=True)
    for _ in range(200):
        if told.is_file() and told.stat().st_size:
            return list(json.loads(told.read_text()))
        time.sleep(0.02)
    raise AssertionError("the launcher ran nothing")


def test_a_shell_script_runs_groove_on_the_folder(lessons: Path, tmp_path: Path) -> None:
    told = tmp_path / "told"
    path = launcher(lessons, "darwin", tmp_path, sys.executable, "-c", SHOW, f"{told}")
    assert path.suffix == ".command"
    assert words_when_run([f"{path}"], told) == ["open", "--folder", f"{lessons}"]


def test_a_desktop_entry_runs_groove_on_the_folder(lessons: Path, tmp_path: Path) -> None:
    if not shutil.which("gio"):
        pytest.skip("no gio, which runs desktop entries")
    told = tmp_path / "told"
    path = launcher(lessons, "linux", tmp_path, sys.executable, "-c", SHOW, f"{told}")
    assert path.parent == tmp_path / "data" / "applications"
    words = words_when_run(["gio", "launch", f"{path}"], told)
    assert words == ["open", "--folder", f"{lessons}"]


def test_a_desktop_entry_is_valid(lessons: Path, tmp_path: Path) -> None:
    if not shutil.which("desktop-file-validate"):
        pytest.skip("no desktop-file-validate")
    for program in ("groove", "/opt/a=b/groove"):
        path = launcher(lessons, "linux", tmp_path, program)
        done = subprocess.run(["desktop-file-validate", path], capture_output=True, text=True)
        assert (done.returncode, done.stdout, done.stderr) == (0, "", "")


def test_a_desktop_entry_escapes_twice(tmp_path: Path) -> None:
    folder = tmp_path / 'a\\b "$"'
    text = launcher(folder, "linux", tmp_path).read_text()
    named = f"{tmp_path}/" + r'a\\\\b \\"\\$\\""'
    assert f'Exec="groove" "open" "--folder" "{named}\n' in text
    assert 'Name=groove: a\\\\b "$"\n' in text


def test_a_batch_file_takes_percent_signs_and_a_last_backslash_as_they_are(tmp_path: Path) -> None:
    folder = tmp_path / "100% & (more)"
    text = launcher(folder, "win32", tmp_path, "C:\\a b\\").read_bytes().decode()
    rows = text.split("\r\n")
    assert rows[0] == "@echo off"
    assert rows[-2] == f'"C:\\a b\\\\" "open" "--folder" "{tmp_path}/100%% & (more)"'
    assert "title groove: 100%% ^& ^(more^)" in rows
    assert rows.index("chcp 65001 >nul") < len(rows) - 3  # before the first name
    assert "\n" not in text.replace("\r\n", "")


def test_it_writes_over_none_but_its_own(tmp_path: Path) -> None:
    variables = {"HOME": f"{tmp_path}"}
    one, other = tmp_path / "one" / "lessons", tmp_path / "other" / "lessons"
    first, was_there = write_launcher(one, ["groove"], "linux", variables)
    assert not was_there
    assert write_launcher(one, ["/new/groove"], "linux", variables) == (first, True)
    assert "/new/groove" in first.read_text()
    second, was_there = write_launcher(other, ["groove"], "linux", variables)
    assert (second.name, was_there) == ("groove-lessons-2.desktop", False)
    first.write_text("[Desktop Entry]\nExec=mine\n")
    assert write_launcher(one, ["groove"], "linux", variables)[0].name == "groove-lessons-3.desktop"
    assert first.read_text() == "[Desktop Entry]\nExec=mine\n"


def test_a_name_that_is_no_text_is_refused(tmp_path: Path) -> None:
    with pytest.raises(GrooveError, match="a launcher can't hold this name; rename the folder"):
        launcher(tmp_path / "a\udcff", "linux", tmp_path)
    assert not list(tmp_path.iterdir())


def test_the_command_says_where_it_lies(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.setenv("XDG_DATA_HOME", f"{tmp_path}/data")
    lessons = tmp_path / "my lessons"
    lessons.mkdir()
    for said in ("it is in the menu of applications", "was there before and has been replaced"):
        found = call("open", "--launcher", "--folder", f"{lessons}")
        assert found.out == f"{tmp_path}/data/applications/groove-my-lessons.desktop\n"
        assert said in found.err
        assert found.code == 0
    assert MARK in Path(found.out.strip()).read_text()
    assert not list(lessons.iterdir())
