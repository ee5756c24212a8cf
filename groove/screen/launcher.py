"""Writes a launcher: a file that opens the screen on a folder of lessons by a double click.

Its format and its place are those of the system: a desktop entry in the menu of applications
(freedesktop.org, Desktop Entry Specification), a shell script on the desktop of macOS, a batch
file on that of Windows.
"""

from __future__ import annotations

import os
import shlex
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from groove.errors import GrooveError
from groove.form.file_names import title_stem
from groove.handout.output import write_contents
from groove.wording import said

MARK = "Written by: groove open --launcher"
"""A line of every launcher, by which it is known as one."""
_STRING = {"\\": r"\\", "\n": r"\n", "\t": r"\t", "\r": r"\r"}
"""Signs as a desktop entry writes them in a value."""


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of launcher. ending: of its file. text: of a command's words and the folder's name.
    is_run: whether the file itself is run, so that it must be executable."""

    ending: str
    text: Callable[[Sequence[str], str], str]
    is_run: bool


def desktop_entry(command: Sequence[str], folder: str) -> str:
    """A desktop entry that runs a command. folder: the name of the lessons' folder."""
    if "=" in command[0]:  # which the name of a program can't have there
        command = ["/bin/sh", "-c", 'exec "$0" "$@"', *command]
    rows = {
        "Type": "Application",
        "Version": "1.0",
        "Name": said("screen-lessons", "launcher.name", folder=folder),
        "Comment": said("screen-lessons", "launcher.comment"),
        "Exec": " ".join(map(_exec_word, command)),
        "Icon": "applications-multimedia",
        "Categories": "Education;Music;",
        "Terminal": "false",
    }
    lines = [f"{name}={_string(value)}" for name, value in rows.items()]
    return "\n".join([f"# {MARK}", "[Desktop Entry]", *lines, ""])


def _string(value: str) -> str:
    text = "".join(_STRING.get(sign, sign) for sign in value)
    return rf"\s{text[1:]}" if text.startswith(" ") else text


def _exec_word(word: str) -> str:
    """A word of Exec between double quotes: four signs have a backslash there, and a percent sign,
    which begins a field code, is written twice."""
    quoted = "".join(rf"\{sign}" if sign in '"`$\\' else sign for sign in word)
    return f'"{quoted}"'.replace("%", "%%")


def shell_script(command: Sequence[str], _folder: str) -> str:
    """A script for a POSIX shell that runs a command."""
    return f"#!/bin/sh\n# {MARK}\nexec {shlex.join(command)}\n"


def batch_file(command: Sequence[str], folder: str) -> str:
    """A batch file for Windows that runs a command. A name there has no quotes; a percent sign,
    which names a variable, is written twice, and a backslash before a closing quote too."""
    rows = [
        "@echo off",
        f"rem {MARK}",
        "setlocal DisableDelayedExpansion",
        "chcp 65001 >nul",
        f"title {_batch_title(folder)}",
        " ".join(map(_batch_word, command)),
    ]
    return "".join(f"{row}\r\n" for row in rows)


def _batch_word(word: str) -> str:
    end = len(word) - len(word.rstrip("\\"))
    closing = "\\" * end + '"'
    return f'"{word}{closing}'.replace("%", "%%")


def _batch_title(folder: str) -> str:
    name = said("screen-lessons", "launcher.name", folder=folder)
    return "".join(f"^{sign}" if sign in "&|<>^()" else sign for sign in name).replace("%", "%%")


KINDS: Mapping[str, Kind] = {
    "darwin": Kind(".command", shell_script, is_run=True),
    "win32": Kind(".bat", batch_file, is_run=False),
}
OTHERS = Kind(".desktop", desktop_entry, is_run=False)


def write_launcher(
    folder: Path, program: Sequence[str], system: str, environment: Mapping[str, str]
) -> tuple[Path, bool]:
    """Write a launcher of the lessons in a folder. Returns its path, and whether an earlier one of
    the same folder was there.

    program: the words that run groove. system: as sys.platform. environment: with HOME (on Windows
    USERPROFILE), and XDG_DATA_HOME where it is set. A file of another kind or folder is never
    written over: the launcher's name then has a number. Raises GrooveError where it can't be
    written, or for a folder whose name is no text.
    """
    whole = Path(os.path.abspath(folder))  # noqa: PTH100 (resolve() follows links)
    kind = KINDS.get(system, OTHERS)
    try:
        f"{whole}{''.join(program)}".encode()
    except UnicodeEncodeError:
        raise GrooveError(f"{folder}: a launcher can't hold this name; rename the folder") from None
    text = kind.text([*program, "open", "--folder", f"{whole}"], whole.name)
    home = _home(system, environment)
    stem = f"groove-{title_stem(whole.name)}"
    for number in count(1):
        end = f"-{number}" if number > 1 else ""
        path = home / f"{stem}{end}{kind.ending}"
        before = _text(path)
        if before is None or _is_same(before, text):
            break
    write_contents({path: text.encode()})
    if kind.is_run:
        path.chmod(0o755)
    return path, before is not None


def _home(system: str, environment: Mapping[str, str]) -> Path:
    """The folder in which a launcher is found."""
    home = Path(environment.get("USERPROFILE" if system == "win32" else "HOME") or Path.home())
    if system in KINDS:
        return home / "Desktop" if (home / "Desktop").is_dir() else home
    data = environment.get("XDG_DATA_HOME", "")
    return (Path(data) if data.startswith("/") else home / ".local/share") / "applications"


def _text(path: Path) -> str | None:
    """The text of a file; None where nothing has its name."""
    if not os.path.lexists(path):
        return None
    try:
        return path.read_bytes().decode()
    except (OSError, UnicodeDecodeError):
        return ""


def _is_same(before: str, text: str) -> bool:
    """Whether two launchers open the same folder, by the end of the row that runs groove."""
    ends = [
        row.partition("--folder")[2]
        for launcher in (before, text)
        for row in launcher.splitlines()
        if "--folder" in row
    ]
    return MARK in before and len(ends) == 2 and ends[0] == ends[1]
