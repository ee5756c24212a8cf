"""A pack of version 0.1.0, whose option for mixes without a player had another name.

``earlier_manifest.json`` was written by that version, for Bb and C; sizes and digests are those of
the short contents that the files have here.
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from groove.handout.pack.archive import write_zip
from groove.handout.pack.folder import MANIFEST
from tests.handout.pack.pack_material import SMALL, digests, files, pack_into

RECORDED = (Path(__file__).parent / "earlier_manifest.json").read_bytes()
PATHS = [entry["path"] for entry in json.loads(RECORDED)["files"]]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The earlier version's pack."""
    folder = tmp_path / "pack"
    for path in PATHS:
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(f"{path} as it was\n")
    (folder / MANIFEST).write_bytes(RECORDED)
    there = {name: folder / name for name in sorted([*PATHS, MANIFEST])}
    write_zip(folder / "short-way.zip", there, "short-way")
    return folder


def test_it_is_replaced_and_no_file_of_it_is_left_or_set_aside(folder: Path, small: Path) -> None:
    packed, said = pack_into(folder, **SMALL)
    assert packed.aside == ()
    assert digests(folder) == digests(small)
    gone = {*PATHS} - files(small)
    assert any("without-bass" in path for path in gone)
    assert set(packed.removed) == gone
    assert [line for line in said if line.startswith("note:")] == []


def test_what_its_owner_has_edited_is_set_aside(folder: Path) -> None:
    mine = folder / "CREDITS.txt"
    mine.write_text("mine")
    packed, _ = pack_into(folder, **SMALL)
    assert packed.aside == ("CREDITS-kept.txt",)
    assert (folder / "CREDITS-kept.txt").read_text() == "mine"
