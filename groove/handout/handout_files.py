"""Handouts into files: all of them whole, or none."""

from __future__ import annotations

import os
from collections.abc import Callable, Mapping
from pathlib import Path

from groove.files import written_together


def write_contents(
    contents: Mapping[Path, bytes], say: Callable[[str], None] = lambda line: None
) -> list[Path]:
    """Write files, in whatever folders they are. Returns their paths.

    say: is told of each file that was there before. Raises GrooveError where one can't be
    written; then none has been.
    """
    targets = list(contents)
    replaced = [path for path in targets if os.path.lexists(path)]
    with written_together(targets) as staged:
        for path, place in zip(targets, staged, strict=True):
            place.write_bytes(contents[path])
    for path in replaced:
        say(f"note: {path} was there before and has been replaced")
    return targets
