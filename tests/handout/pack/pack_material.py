"""A short form for the tests of the pack, and an executor that records its jobs."""

from __future__ import annotations

import hashlib
import json
import os
import pickle
from collections.abc import Callable
from concurrent.futures import Executor, Future
from pathlib import Path
from typing import Any
from unittest.mock import patch

import groove
from groove.form.model import Form
from groove.handout.pack.folder import MANIFEST
from groove.handout.pack.make import Packed
from groove.handout.practice.make import make_page
from groove.sound.synth.soundfonts import find_fonts
from tests.handout.practice.page_material import page_of_one_key

FORM = groove.read_form(
    "one-chord-vamp",
    title="Short Way",
    chords="I7 IV7",
    choruses=1,
    tempo=120,
    drums="rumba",
    ending="hit",
)
FONT = find_fonts(None, {}, []).main.path
ASKED: dict[str, Any] = {"keys": "C,Bb", "tempos": [90, 120], "without_each": True, "stems": True}
SMALL: dict[str, Any] = {"keys": "C", "tempos": 120, "stems": False, "without_each": False}
"""The arguments for a pack of one track."""
COMMAND = (
    "pack", "one-chord-vamp", "--title", "Short Way", "--chords", "I7 IV7", "--choruses", "1",
    "--ending", "hit", "--drums", "rumba", "--tempo", "120", "--keys", "C",
)  # fmt: skip
"""The same on the command line."""


class InOrder(Executor):
    """Does each job at once, after a journey through pickle as to another machine."""

    def __init__(self) -> None:
        self.made: list[str] = []

    def submit(self, fn: Callable[..., Any], /, *args: Any, **kwargs: Any) -> Future[Any]:
        future: Future[Any] = Future()
        function, arguments = pickle.loads(pickle.dumps((fn, args)))
        try:
            outcome = function(*arguments)
        except Exception as error:
            future.set_exception(error)
        else:
            self.made += sorted(made.path for made in outcome.made)
            future.set_result(outcome)
        return future


PAGES: dict[bytes, bytes] = {}


def page_from_store(form: Form, path: Path, **options: Any) -> None:
    """Write a practice page as make_page does; one that was made before comes from PAGES.

    A page takes longer than all else in a small pack. Its bytes are the same in every process:
    see the tests of the page, and of packs made by other processes, whose page is that of FORM; in
    other pages all keys have the notes of one.
    """
    asked = pickle.dumps((form, sorted(options.items())))
    if asked not in PAGES:
        same = (form.title, form.key, form.tempo) == (FORM.title, FORM.key, FORM.tempo)
        make = make_page if same else page_of_one_key
        PAGES[asked] = make(form, path, **options).read_bytes()
    path.write_bytes(PAGES[asked])


def pack_into(folder: Path, **changes: Any) -> tuple[Packed, list[str]]:
    """Pack FORM; what was packed, and what was said."""
    said: list[str] = []
    options = ASKED | {"form": FORM, "executor": InOrder(), "soundfont": FONT} | changes
    with patch("groove.handout.practice.make.make_page", page_from_store):
        packed = groove.pack(options.pop("form"), folder, say=said.append, **options)
    return packed, said


def files(folder: Path) -> set[str]:
    """Every file in a folder, hidden ones too; the folder may change while it is read."""
    return {
        Path(place, name).relative_to(folder).as_posix()
        for place, _, names in os.walk(folder)
        for name in names
    }


def digests(folder: Path) -> dict[str, str]:
    return {
        name: hashlib.sha256((folder / name).read_bytes()).hexdigest() for name in files(folder)
    }


def times(folder: Path) -> dict[str, int]:
    return {str(path): path.stat().st_mtime_ns for path in (folder, *folder.rglob("*"))}


def listed(folder: Path) -> dict[str, dict[str, Any]]:
    content = json.loads((folder / MANIFEST).read_text("utf-8"))
    return {entry["path"]: entry for entry in content["files"]}
