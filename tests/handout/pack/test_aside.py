"""Files of a pack that were edited or damaged: found by their bytes, set aside, made anew."""

from __future__ import annotations

import shutil
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from groove.handout.pack.folder import CREDITS, INDEX, MANIFEST
from tests.handout.pack.pack_material import SMALL, digests, listed, pack_into

ZIP = "short-way.zip"
MIDI = "01_C/short-way_C_120.mid"


@pytest.fixture
def folder(small: Path, tmp_path: Path) -> Path:
    """A pack to edit and damage."""
    return shutil.copytree(small, tmp_path / "pack")


def add_a_line(path: Path) -> None:
    with path.open("ab") as file:
        file.write(b"\nmine\n")


def damage_the_middle(path: Path) -> None:
    content = bytearray(path.read_bytes())
    middle = len(content) // 2
    content[middle : middle + 4] = bytes(255 - byte for byte in content[middle : middle + 4])
    path.write_bytes(content)


def damage_the_first_head(path: Path) -> None:
    """Change the time of a zip's first file, which shows in the bytes alone."""
    content = bytearray(path.read_bytes())
    content[10] ^= 255
    path.write_bytes(content)


def kept(name: str, number: str = "") -> str:
    stem, dot, ending = name.rpartition(".")
    return f"{stem}-kept{number}{dot}{ending}"


@pytest.mark.parametrize("change", [add_a_line, damage_the_middle])
@pytest.mark.parametrize("name", [INDEX, CREDITS, MANIFEST, ZIP, MIDI, "short-way_practice.html"])
def test_a_file_that_was_edited_or_damaged_is_set_aside_and_made_anew(
    folder: Path, small: Path, name: str, change: Callable[[Path], None]
) -> None:
    change(folder / name)
    changed = (folder / name).read_bytes()
    packed, said = pack_into(folder, **SMALL)
    assert packed.aside == (kept(name),)
    assert sum(str(folder / name) in line and "is now" in line for line in said) == 1
    assert (folder / kept(name)).read_bytes() == changed
    (folder / kept(name)).unlink()
    assert digests(folder) == digests(small)


def test_a_zip_is_whole_only_where_each_byte_is(folder: Path, small: Path) -> None:
    damage_the_first_head(folder / ZIP)
    pack_into(folder, **SMALL)
    assert (folder / ZIP).read_bytes() == (small / ZIP).read_bytes()


def test_what_was_set_aside_is_neither_overwritten_nor_packed(folder: Path, small: Path) -> None:
    for edit in (b"first", b"second", b"third"):
        (folder / INDEX).write_bytes(edit)
        pack_into(folder, **SMALL)
    names = [kept(INDEX), kept(INDEX, "-2"), kept(INDEX, "-3")]
    assert [(folder / name).read_bytes() for name in names] == [b"first", b"second", b"third"]
    packed, said = pack_into(folder, **SMALL)
    assert (packed.made, packed.aside) == ((), ())
    assert [line for line in said if "nothing to do" in line]
    assert set(listed(folder)) == set(listed(small))
    assert (folder / ZIP).read_bytes() == (small / ZIP).read_bytes()


def test_another_pack_replaces_what_no_one_has_edited(folder: Path) -> None:
    packed, _ = pack_into(folder, **SMALL | {"keys": "Bb"})
    assert packed.aside == ()
    assert [path.name for path in folder.rglob("*-kept*")] == []


def test_another_pack_sets_aside_edited_manifests_and_zips(folder: Path) -> None:
    text = (folder / MANIFEST).read_text("utf-8").replace("Short Way", "Short Day", 1)
    (folder / MANIFEST).write_text(text, "utf-8")
    with zipfile.ZipFile(folder / ZIP, "a") as archive:
        archive.writestr("short-way/mine.txt", "mine")
    packed, _ = pack_into(folder, **SMALL | {"keys": "Bb"})
    assert packed.aside == (kept(MANIFEST), kept(ZIP))
    assert (folder / kept(MANIFEST)).read_text("utf-8") == text
    with zipfile.ZipFile(folder / kept(ZIP)) as archive:
        assert archive.read("short-way/mine.txt") == b"mine"


def test_without_its_zip_a_manifest_is_still_known_as_unedited(folder: Path) -> None:
    (folder / ZIP).unlink()
    packed, _ = pack_into(folder, **SMALL | {"keys": "Bb"})
    assert packed.aside == ()


def test_a_link_in_the_place_of_a_file_is_set_aside_and_not_followed(
    folder: Path, small: Path
) -> None:
    mine = folder.parent / "mine.html"
    (folder / INDEX).rename(mine)
    (folder / INDEX).symlink_to(mine)
    pack_into(folder, **SMALL)
    assert not (folder / INDEX).is_symlink()
    assert (folder / kept(INDEX)).readlink() == mine
    assert mine.read_bytes() == (small / INDEX).read_bytes()
