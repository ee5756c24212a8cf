"""The folder of the lessons: the form files in it, and which one is opened."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

from groove import library
from groove.errors import GrooveError
from groove.files import try_targets
from groove.screen.open_form import OpenForm, draft_of
from groove.screen.start.voice import newest_voice

NEW = "new-form"
EMPTY = 'key = "C"\n'
"""The text of a new form, whose title is the name of its file until it has one."""
MOST_NAMES = 1000


def opened(form: str | None, folder: Path | None) -> OpenForm:
    """The form to open: a file, a copy of a shipped form in the folder, or a new one there.

    folder: of the lessons; None for that of a file, and for the one where the program runs. A new
    one that has no chord yet has no file, and is opened again. A shipped form's copy that is there
    already is opened as it is. What is new takes over what the newest lesson of the folder says of
    the teacher. Raises GrooveError where the file can't be read or written, or does
    not lie in the folder.
    """
    start = EMPTY
    if form is None:
        path = free_place(folder or Path(), NEW, Path.exists)
    elif form in library.names("forms"):
        path = (folder or Path()) / f"{form}.toml"
        start = library.path_of("forms", form).read_text("utf-8")
    else:
        path = _named(form, folder)
    if not path.exists():
        try_targets([path])
        start = newest_voice(path.parent).put_into(start)
    return OpenForm.at(path, start)


def _named(form: str, folder: Path | None) -> Path:
    """The path of a form file; in a folder, only its own files have one."""
    given = Path(form)
    if given.suffix != ".toml":
        raise GrooveError(f"{form}: a form file ends in .toml")
    if folder is None:
        return given
    if given.name != form and given.parent.resolve() != folder.resolve():
        raise GrooveError(f"{form}: not in {folder}; leave --folder out, or name a file in it")
    return folder / given.name


def has_lessons(folder: Path) -> bool:
    """Whether a form file lies in a folder, or may: another file that ends as they do counts."""
    return next(folder.glob("*.toml"), None) is not None


def place_of(name: str, folder: Path) -> Path:
    """The place of a form file of the folder, or of one that has a draft alone. Raises GrooveError
    where the folder itself has none of that name, or one that lies elsewhere."""
    path = folder / name
    is_plain = path.name == name and name.isprintable() and not name.startswith(".")
    is_form = is_plain and path.suffix == ".toml"
    if not is_form or path.resolve().parent != folder.resolve() or not is_taken(path):
        raise GrooveError(f"{name}: there is no such form file in {folder}")
    return path


def is_taken(path: Path) -> bool:
    """Whether a form file, or a draft of one, has this place."""
    return os.path.lexists(path) or os.path.lexists(draft_of(path))


def free_place(folder: Path, stem: str, has_one: Callable[[Path], bool] = is_taken) -> Path:
    """A place in a folder that is not taken: ``new-form.toml``, ``new-form-2.toml``, ..."""
    for number in range(1, MOST_NAMES):
        path = folder / (f"{stem}.toml" if number == 1 else f"{stem}-{number}.toml")
        if not has_one(path):
            return path
    raise GrooveError(f"{folder}: {MOST_NAMES:,} forms of this name lie there; rename some")
