"""Begins a lesson: with an empty form, a shipped one, a file of one's own or an earlier lesson."""

from __future__ import annotations

import base64
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from groove import library
from groove.errors import GrooveError
from groove.form.file_names import title_stem
from groove.form.read import LARGEST_FILE
from groove.screen.form_text import EditError, with_field
from groove.screen.lessons import EMPTY, NEW, free_place, is_taken, place_of
from groove.screen.open_form import OpenForm, draft_of, text_of
from groove.screen.start.voice import newest_voice

LONGEST_TITLE = 120
_NO_PLACES: frozenset[str] = frozenset()

Source = tuple[str, str]
"""A text to begin with, and the beginning of the file's name where the lesson has no title."""


def begin(
    asked: Any, folder: Path, is_open: Callable[[str], bool] = _NO_PLACES.__contains__
) -> str:
    """Begin a lesson in a folder, and return the name of its file.

    asked: from the page: ``from`` is ``"empty"``, ``"shipped"`` or ``"lesson"``, with its
    ``name``, or ``"file"`` with ``name`` and ``content``, base64 of its bytes; ``title``, where
    there is one, is the lesson's. The file is named after the title; a name that is taken gets a
    number. What says nothing of the teacher takes that from the newest lesson that does, see voice.
    is_open: whether a lesson of a name is open, though its file may have gone. A text with
    mistakes becomes a draft. Raises GrooveError for what can't be begun.
    """
    source = asked.get("from") if isinstance(asked, dict) else None
    if not isinstance(source, str) or source not in _SOURCES:
        raise GrooveError("a lesson begins with a form, a file or another lesson")
    title = " ".join(_word(asked, "title", "").split())
    if len(title) > LONGEST_TITLE or not title.isprintable():
        raise GrooveError(f"a title has up to {LONGEST_TITLE} characters")
    text, stem = _SOURCES[source](asked, folder)
    if title:
        text, stem = _titled(text, title), title_stem(title)
    if source in _TAKE_OVER:
        text = newest_voice(folder).put_into(text)
    if not title and source in _THE_SAME and _is_there(_THE_SAME[source](folder, stem), text):
        return f"{stem}.toml"
    path = free_place(folder, stem, lambda path: is_taken(path) or is_open(path.name))
    return OpenForm.at(path, text).path.name


def _empty(_asked: Mapping[str, Any], _folder: Path) -> Source:
    return EMPTY, NEW


def _shipped(asked: Mapping[str, Any], _folder: Path) -> Source:
    name = _word(asked, "name")
    if name not in library.names("forms"):
        raise GrooveError(f"{name}: no form of this name comes with groove")
    return library.path_of("forms", name).read_text("utf-8"), name


def _lesson(asked: Mapping[str, Any], folder: Path) -> Source:
    """The text of an earlier lesson, with what is unfinished in it."""
    path = place_of(_word(asked, "name"), folder)
    draft = draft_of(path)
    return _text(draft if draft.is_file() else path), path.stem


def _file(asked: Mapping[str, Any], _folder: Path) -> Source:
    stem = title_stem(_word(asked, "name").removesuffix(".toml"))
    try:
        content = base64.b64decode(_word(asked, "content"), validate=True)
    except ValueError:
        raise GrooveError("the file can't be read") from None
    if len(content) > LARGEST_FILE:
        raise GrooveError(f"more than {LARGEST_FILE:,} bytes; a form is a short file")
    if b"\0" in text_of(content).encode():
        raise GrooveError("no text; choose a form file, which ends in .toml")
    return text_of(content), stem


_SOURCES: dict[str, Callable[[Mapping[str, Any], Path], Source]] = {
    "empty": _empty,
    "shipped": _shipped,
    "lesson": _lesson,
    "file": _file,
}


_TAKE_OVER = ("empty", "shipped", "file")
"""The sources to which what another lesson says of the teacher is added."""
_THE_SAME: dict[str, Callable[[Path, str], Path]] = {
    "empty": lambda folder, stem: draft_of(folder / f"{stem}.toml"),
    "file": lambda folder, stem: folder / f"{stem}.toml",
}
"""The place of a lesson that would be the same, which is then opened."""


def _word(asked: Mapping[str, Any], name: str, usual: str | None = None) -> str:
    value = asked.get(name, usual)
    if not isinstance(value, str):
        raise GrooveError(f"{name}: a text is needed")
    return value


def _titled(text: str, title: str) -> str:
    """The text with another title; one that is no TOML stays as it is."""
    if text == EMPTY:
        return f"{with_field('', 'title', title).strip()}\n{text}"
    try:
        return with_field(text, "title", title)
    except EditError:
        return text


def _is_there(path: Path, text: str) -> bool:
    return path.is_file() and not path.is_symlink() and _text(path) == text


def _text(path: Path) -> str:
    try:
        with path.open("rb") as file:
            return text_of(file.read(LARGEST_FILE + 1))
    except OSError as error:
        raise GrooveError(f"{path.name}: can't be read: {error.strerror or error}") from None
