"""A pack whose manifest is lost or damaged: it comes back, and no file that differs is lost."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from groove.errors import GrooveError
from groove.handout.pack.folder import INDEX, MANIFEST, STATE
from tests.handout.pack.pack_material import SMALL, digests, files, pack_into

TRACK = "01_C/short-way_C_120.mp3"


@pytest.fixture
def folder(small: Path, tmp_path: Path) -> Path:
    """A pack whose manifest is lost."""
    shutil.copytree(small, tmp_path / "pack")
    (tmp_path / "pack" / MANIFEST).unlink()
    return tmp_path / "pack"


def test_a_lost_manifest_comes_back_where_all_is_as_it_would_be_made(
    folder: Path, small: Path
) -> None:
    packed, said = pack_into(folder, **SMALL)
    assert digests(folder) == digests(small)
    assert any("has lost its manifest.json, or it is damaged: 13 files" in line for line in said)
    assert packed.aside == ()
    assert pack_into(folder, **SMALL)[0].made == ()


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        (TRACK, "01_C/short-way_C_120-kept.mp3"),
        (INDEX, "index-kept.html"),
        ("short-way.zip", "short-way-kept.zip"),
    ],
)
def test_a_file_that_differs_is_set_aside(folder: Path, small: Path, name: str, kept: str) -> None:
    (folder / name).write_bytes(b"mine")
    packed, said = pack_into(folder, **SMALL)
    assert packed.aside == (kept,)
    assert sum(line.endswith(f"that is now {folder / kept}") for line in said) == 1
    assert (folder / kept).read_bytes() == b"mine"
    (folder / kept).unlink()
    assert digests(folder) == digests(small)


def test_a_damaged_manifest_is_set_aside(folder: Path, small: Path) -> None:
    damaged = (small / MANIFEST).read_bytes()[:500]
    (folder / MANIFEST).write_bytes(damaged)
    packed, _ = pack_into(folder, **SMALL)
    assert packed.aside == ("manifest-kept.json",)
    assert (folder / "manifest-kept.json").read_bytes() == damaged
    (folder / "manifest-kept.json").unlink()
    assert digests(folder) == digests(small)


def test_a_folder_in_the_place_of_a_file_is_called_a_folder(folder: Path, small: Path) -> None:
    shutil.copy(small / MANIFEST, folder)
    (folder / TRACK).unlink()
    (folder / TRACK).mkdir()
    with pytest.raises(GrooveError, match=f"{TRACK}: a folder stands where a file of the pack"):
        pack_into(folder, **SMALL)
    assert STATE not in files(folder)
