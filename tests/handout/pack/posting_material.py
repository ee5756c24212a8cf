"""Packs with videos that are quick to make: short and small clips in place of the real ones."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from unittest.mock import patch

import numpy as np

from groove.form.model import Form
from groove.handout.pack.folder import digest
from groove.handout.pack.make import Packed
from groove.handout.video.encoder import Chapter, Encoder
from groove.sound.samples import SAMPLE_RATE
from tests.handout.pack.pack_material import SMALL, pack_into

PIXELS = {"wide": (160, 90), "upright": (90, 160), "square": (90, 90)}
SECONDS = 2
VIDEOS: dict[str, Any] = SMALL | {"audio": "none", "video": "wide,upright"}
"""The arguments for a pack with two videos of one track."""
POSTED: dict[str, Any] = VIDEOS | {"keys": "C,F", "cover": True, "preview": True, "text": True}
"""The arguments for a pack in two keys with all that is posted."""


@cache
def clip(size: str) -> bytes:
    """A video of two silent, grey seconds in the shape of a size."""
    wide, high = PIXELS[size]
    with TemporaryDirectory() as place:
        path = Path(place) / "clip.mp4"
        with Encoder(path, ".mp4", (wide, high), {}, [Chapter(0.0, "Clip")], SECONDS) as out:
            for number in range(SECONDS * 30):
                grey = np.full((high * 3 // 2, wide), 128, np.uint8) if number == 0 else None
                out.show(grey)
            out.play(np.zeros((SECONDS * SAMPLE_RATE, 2), np.float32))
        return path.read_bytes()


def blank_page(_form: Form, path: Path, **_options: Any) -> None:
    """Takes the place of make_page, which takes longer than all else."""
    path.write_text("<!doctype html>")


class Clips:
    """Takes the place of make_video. calls: what each video was asked for with; sounds: digests of
    the sound that each was given."""

    def __init__(self) -> None:
        self.calls: list[dict[str, Any]] = []
        self.sounds: list[str] = []

    def make_video(self, form: Form, path: Path, **options: Any) -> Path:
        self.calls.append({"form": form, "path": path, **options})
        self.sounds.append(digest(options["audio"]))
        path.write_bytes(clip(options["size"]))
        return path


def post_into(folder: Path, clips: Clips | None = None, **changes: Any) -> tuple[Packed, list[str]]:
    """Pack with clips for videos and a blank practice page; what was packed, and what was said."""
    with (
        patch("groove.handout.video.make.make_video", (clips or Clips()).make_video),
        patch("tests.handout.pack.pack_material.page_from_store", blank_page),
    ):
        return pack_into(folder, **POSTED | changes)
