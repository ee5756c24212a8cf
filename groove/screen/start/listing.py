"""The list of the lessons in a folder, read anew only where a file has changed."""

from __future__ import annotations

import os
import re
import threading
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Any

from groove.form.fields import FIELDS
from groove.form.file_names import title_stem
from groove.handout.pack.folder import MANIFEST
from groove.screen.lessons import EMPTY
from groove.screen.open_form import DRAFT
from groove.screen.reading import read
from groove.screen.start.form_files import text_at, values_in
from groove.screen.start.rename import better_name
from groove.screen.start.voice import without_voice
from groove.wording import Wording, worded

AT_ONCE = 40
"""Forms that are checked in one look at the folder; a form takes some milliseconds."""
_DRAFT = re.compile(re.escape(DRAFT).replace(re.escape("{name}"), r"(.+\.toml)"))


@dataclass(frozen=True, slots=True)
class Entry:
    """A lesson of the list.

    name: of its file. key, tempo, feel: as played, else as they stand in draft or file, empty where
    they don't. changed: seconds since 1970. mistakes: their number; None where it has not been
    checked yet. has_draft: whether something unfinished lies beside it. is_empty: whether it has no
    bars yet. better: the name that its title gives the file, where it has none of its own. packed:
    when its pack was made, in seconds since 1970, 0 if never.
    """

    name: str
    title: str
    key: str
    tempo: str
    feel: str
    changed: float
    mistakes: int | None
    has_draft: bool
    is_empty: bool
    better: str = ""
    packed: float = 0

    @property
    def as_json(self) -> dict[str, Any]:
        """The entry ready for JSON."""
        return asdict(self)


@dataclass(frozen=True, slots=True)
class _Files:
    """A lesson's files: its form, where it is there, and its draft; stamps: changes of both."""

    path: Path
    draft: Path | None
    changed: float
    stamps: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known of a lesson's files. entry: None where they are no lesson. stem: the name of
    the folder of its pack."""

    stamps: tuple[int, ...]
    entry: Entry | None = None
    stem: str = ""


class Listing:
    """The lessons of a folder. Safe to be asked by several threads."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._known: dict[str, _Known] = {}
        self._lock = threading.Lock()

    def entries(self, at_once: int = AT_ONCE) -> list[Entry]:
        """The lessons, newest first; none where the folder can't be read.

        at_once: how many of those that have changed are checked; of the others, which come in the
        next look, what stands in the file is told.
        """
        with self._lock:
            files = sorted(_files(self.folder), key=lambda each: (-each.changed, each.path.name))
            before, self._known = self._known, {}
            for each in files:
                known = before.get(each.path.name)
                is_new = known is None or known.stamps != each.stamps
                is_checked = known and not (known.entry and known.entry.mistakes is None)
                if known is None or is_new or (not is_checked and at_once > 0):
                    known = _read(each, checked=at_once > 0)
                    at_once -= 1
                self._known[each.path.name] = known
            found = [(known.entry, known.stem) for known in self._known.values()]
        return [
            replace(entry, packed=_changed(self.folder / stem / MANIFEST))
            for entry, stem in found
            if entry
        ]


def _files(folder: Path) -> Iterator[_Files]:
    """The files of the lessons in a folder: no links, nothing hidden but drafts."""
    forms: dict[str, os.stat_result] = {}
    drafts: dict[str, tuple[Path, os.stat_result]] = {}
    with suppress(OSError), os.scandir(folder) as there:
        for each in there:
            draft = _DRAFT.fullmatch(each.name)
            with suppress(OSError):
                if not each.is_file(follow_symlinks=False):
                    continue
                if draft:
                    drafts[draft[1]] = Path(each.path), each.stat()
                elif each.name.endswith(".toml") and not each.name.startswith("."):
                    forms[each.name] = each.stat()
    for name in forms.keys() | drafts.keys():
        path, draft_stat = drafts.get(name, (None, None))
        stats = [stat for stat in (forms.get(name), draft_stat) if stat]
        stamps = tuple(number for stat in stats for number in (stat.st_mtime_ns, stat.st_size))
        changed = max(stat.st_mtime for stat in stats)
        yield _Files(folder / name, path, changed, (len(stats), *stamps))


def _read(files: _Files, *, checked: bool) -> _Known:
    """What a lesson's files tell; no entry for a TOML file of another kind, and for a new form that
    is as it was made."""
    nothing = _Known(files.stamps)
    text = text_at(files.draft or files.path)
    if text is None:
        return nothing
    values = values_in(text)
    if files.draft and values is not None and without_voice(values) == values_in(EMPTY):
        return nothing
    if values is not None and not _is_form(values):
        return nothing
    kept = values_in(text_at(files.path)) if files.draft else None
    shown = (kept or {}) | (values or {})
    title, key, tempo, feel = (
        str(shown.get(name, "")) for name in ("title", "key", "tempo", "feel")
    )
    mistakes, form = None, None
    if checked:
        found = read(text, files.path)
        mistakes, form = len(found.mistakes), found.form
    if form:
        title, key, tempo, feel = form.title, form.key.symbol, f"{form.tempo:g}", form.feel
    given, title = title, title or files.path.stem
    is_empty = values is not None and not values.keys() & {"chords", "sections"}
    entry = Entry(
        files.path.name, title, key, tempo, feel,
        files.changed, mistakes, files.draft is not None, is_empty,
    )  # fmt: skip
    with worded(form.lesson.words if form else Wording()):
        entry = replace(entry, better=better_name(entry.name, given))
        return _Known(files.stamps, entry, title_stem(entry.title))


def _is_form(values: dict[str, Any]) -> bool:
    """Whether a TOML file is meant as a form: no set list, no words for the handouts."""
    return "tunes" not in values and any(
        name in FIELDS and not isinstance(value, dict) for name, value in values.items()
    )


def _changed(path: Path) -> float:
    """When a file was changed, in seconds since 1970; 0 where it is not there."""
    with suppress(OSError):
        return path.stat().st_mtime
    return 0
