"""Handouts into files: all of them whole, or none."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from groove.files import written_together


def write_contents(contents: Mapping[Path, bytes]) -> list[Path]:
    """Write files, in whatever folders they are. Returns their paths.

    Raises GrooveError where one can't be written; then none has been.
    """
    targets = list(contents)
    with written_together(targets) as staged:
        for path, place in zip(targets, staged, strict=True):
            place.write_bytes(contents[path])
    return targets
