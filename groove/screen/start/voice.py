"""The teacher's name, link and last line, which a new lesson takes over from the newest one."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any

from groove.form.lesson_fields import OPTION_READERS
from groove.form.read import LARGEST_FILE
from groove.screen.form_text import EditError, content_of, with_field
from groove.screen.start.form_files import newest_first, text_at, values_in

VOICE = ("teacher", "link", "invite")
"""The fields that are taken over."""
MOST_LESSONS = 100
"""The newest form files, which are looked at."""


@dataclass(frozen=True, slots=True)
class Voice:
    """The fields of VOICE that the lesson of a title has."""

    title: str
    fields: dict[str, str]

    def put_into(self, text: str) -> str:
        """The text of a form with these fields; one that has any of VOICE stays as it is, and so
        does one that is no TOML or would be too long."""
        try:
            if any(name in content_of(text) for name in VOICE):
                return text
            told = text
            for name, value in self.fields.items():
                told = with_field(told, name, value)
        except EditError:
            return text
        return told if len(told.encode()) <= LARGEST_FILE else text


def newest_voice(folder: Path) -> Voice:
    """That of the newest lesson in a folder that has one; without fields where none has."""
    found = (_voice(path) for path in islice(newest_first(folder), MOST_LESSONS))
    return next((voice for voice in found if voice.fields), Voice("", {}))


def without_voice(values: dict[str, Any]) -> dict[str, Any]:
    """The values of a form file that are not taken over."""
    return {name: value for name, value in values.items() if name not in VOICE}


def _voice(path: Path) -> Voice:
    """The fields of a form file; none where it can't be read, or is none."""
    values = values_in(text_at(path)) or {}
    fields = {}
    for name in VOICE:
        with suppress(ValueError):
            if name in values:
                fields[name] = str(OPTION_READERS[name][0](values[name]))
    return Voice(str(values.get("title", path.stem)), fields)
