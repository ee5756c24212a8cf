"""Reads the form files of the lessons' folder, as many as there are and whatever they hold."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

from groove.form.read import LARGEST_FILE
from groove.screen.open_form import text_of


def newest_first(folder: Path) -> Iterator[Path]:
    """The form files in a folder, the one that was changed last first: no links, nothing hidden."""
    dated: list[tuple[float, str]] = []
    with suppress(OSError), os.scandir(folder) as there:
        for each in there:
            if each.name.endswith(".toml") and not each.name.startswith("."):
                with suppress(OSError):
                    if each.is_file(follow_symlinks=False):
                        dated.append((each.stat().st_mtime, each.path))
    yield from (Path(path) for _, path in sorted(dated, reverse=True))


def text_at(path: Path) -> str | None:
    """The text of a file; None where it can't be read, or is too long for a form."""
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
    except OSError:
        return None
    return text_of(content) if len(content) <= LARGEST_FILE else None


def values_in(text: str | None) -> dict[str, Any] | None:
    """The values in a text; None where it is no TOML, or there is none."""
    try:
        return tomllib.loads(text or "") if text is not None else None
    except (ValueError, RecursionError):
        return None
