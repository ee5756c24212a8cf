"""A pack whose manifest is lost or damaged: what is the same is kept, what differs untouched."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from groove.errors import GrooveError
from groove.handout.pack.folder import INDEX, MANIFEST, STATE
from tests.handout.pack.pack_material import digests, files, pack_into

ASKED: dict[str, Any] = {"keys": "C", "tempos": 120, "stems": False, "without_each": False}
TRACK = "01_C/short-way_C_120.mp3"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A pack whose manifest is lost."""
    pack_into(tmp_path / "pack", **ASKED)
    (tmp_path / "pack" / MANIFEST).rename(tmp_path / MANIFEST)
    return tmp_path / "pack"


def test_a_lost_manifest_comes_back_where_all_is_as_it_would_be_made(folder: Path) -> None:
    before = digests(folder)
    _, said = pack_into(folder, **ASKED)
    after = digests(folder)
    assert after.pop(MANIFEST)
    assert after == before
    assert any("has lost its manifest.json: 8 files there may be of this pack" in s for s in said)
    assert (folder / MANIFEST).read_bytes() == (folder.parent / MANIFEST).read_bytes()
    assert pack_into(folder, **ASKED)[0].made == ()


@pytest.mark.parametrize("name", [TRACK, INDEX, "short-way.zip"])
def test_a_file_that_differs_is_never_touched(folder: Path, name: str) -> None:
    (folder / name).write_bytes(b"mine")
    before = digests(folder)
    with pytest.raises(GrooveError, match=f"{name}: there already, and not what this pack would"):
        pack_into(folder, **ASKED)
    after = digests(folder)
    assert {path: after[path] for path in before} == before
    assert MANIFEST not in after
    with pytest.raises(GrooveError, match=f"{name}: there already, and not"):
        pack_into(folder, **ASKED)  # what the first run has noted doesn't make it ours
    assert (folder / name).read_bytes() == b"mine"


def test_moved_away_it_is_made_and_the_pack_is_whole(folder: Path) -> None:
    (folder / TRACK).write_bytes(b"mine")
    with pytest.raises(GrooveError, match="move it away"):
        pack_into(folder, **ASKED)
    (folder / TRACK).rename(folder / "mine.mp3")
    pack_into(folder, **ASKED)
    assert (folder / MANIFEST).read_bytes() == (folder.parent / MANIFEST).read_bytes()
    assert not (folder / STATE).exists()
    assert "mine.mp3" in files(folder)


def test_a_damaged_manifest_is_called_so(folder: Path) -> None:
    (folder / MANIFEST).write_bytes((folder.parent / MANIFEST).read_bytes()[:500])
    with pytest.raises(GrooveError, match=r"manifest.json: damaged, or not of a pack; .*remove it"):
        pack_into(folder, **ASKED)
    (folder / MANIFEST).unlink()
    pack_into(folder, **ASKED)
    assert (folder / MANIFEST).read_bytes() == (folder.parent / MANIFEST).read_bytes()


def test_a_folder_in_the_place_of_a_file_is_called_a_folder(folder: Path) -> None:
    (folder.parent / MANIFEST).rename(folder / MANIFEST)
    (folder / TRACK).unlink()
    (folder / TRACK).mkdir()
    with pytest.raises(GrooveError, match=f"{TRACK}: a folder stands where a file of the pack"):
        pack_into(folder, **ASKED)
