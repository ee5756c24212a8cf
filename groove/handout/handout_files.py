"""Handouts into files: all of them whole, or none."""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import ExitStack
from pathlib import Path

from groove.files import written_together


def write_contents(contents: Mapping[Path, bytes]) -> list[Path]:
    """Write files, in whatever folders they are. Returns their paths.

    Raises GrooveError where one can't be written; then none has been.
    """
    folders: dict[Path, list[Path]] = {}
    for path in contents:
        folders.setdefault(path.parent, []).append(path)
    with ExitStack() as writing:
        for paths in folders.values():
            staged = writing.enter_context(written_together(paths))
            for path, place in zip(paths, staged, strict=True):
                place.write_bytes(contents[path])
    return list(contents)
