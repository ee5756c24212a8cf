"""Gives the form file of a lesson that began without a title the name that its title gives."""

from __future__ import annotations

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING

from groove.errors import GrooveError
from groove.form.file_names import title_stem
from groove.form.read import LARGEST_FILE
from groove.screen.lessons import NEW, free_place, is_taken
from groove.wording import said

if TYPE_CHECKING:
    from groove.screen.session import Lesson, Session

WORDS = "screen-lessons"
_UNTITLED = re.compile(rf"{NEW}(-\d+)?\.toml")


def better_name(name: str, title: str) -> str:
    """The name that its title gives a form file; empty for one that has a name already.

    >>> better_name("new-form-2.toml", "Ferry Landing"), better_name("ferry.toml", "Lake")
    ('ferry-landing.toml', '')
    """
    better = f"{title_stem(title)}.toml" if title else ""
    is_better = _UNTITLED.fullmatch(name) and not _UNTITLED.fullmatch(better)
    return better if is_better else ""


def rename(session: Session, lesson: Lesson, better: str, windows: int) -> str:
    """Rename the form file of an open lesson, and its draft; its history stays. Returns the name.

    better: the name that its title gives, which gets a number where it is taken. windows: how many
    of the lesson's may be open. Raises GrooveError where more are, where another file of the folder
    names this one, and where the system refuses.
    """
    name = lesson.form.path.name
    if len(lesson.windows) > windows:
        raise GrooveError(said(WORDS, "troubles.window"))
    other = _names_it(session.folder, name)
    if other:
        raise GrooveError(said(WORDS, "troubles.named", other=other, name=name))
    stem = better.removesuffix(".toml")
    place = free_place(
        session.folder, stem, lambda path: is_taken(path) or session.is_open(path.name)
    )
    lesson.form.move(place)
    session.moved(name, place.name)
    return place.name


def _names_it(folder: Path, name: str) -> str:
    """The name of another file of the folder in which this one is named, such as a set list."""
    for path in sorted(folder.glob("*.toml")):
        try:
            with path.open("rb") as file:
                if path.name != name and os.fsencode(name) in file.read(LARGEST_FILE):
                    return path.name
        except OSError:
            continue
    return ""
