"""The pack's folder: what is still good, what is set aside, and what is removed."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path

import pytest

from groove.errors import GrooveError
from groove.handout.pack.folder import (
    STATE,
    Made,
    check_ours,
    digest,
    earlier,
    put,
    remove_stale,
    set_aside,
    still_good,
)

TRACK = "Pier Nine"


def made(folder: Path, files: Mapping[str, str], before: Mapping[str, set[str]] = {}) -> list[str]:
    """Make files in a folder as a job does. Returns the names of those that were set aside."""
    work = folder / STATE / "work-1"
    work.mkdir(parents=True, exist_ok=True)
    for number, text in enumerate(files.values()):
        (work / str(number)).write_text(text)
    places = {name: work / str(number) for number, name in enumerate(files)}
    known = {name: before.get(name, set()) for name in files}
    _, aside = put(folder, work, places, dict.fromkeys(files, "print"), known)
    return [each.kept_as for each in aside]


def good(folder: Path, fingerprint: str = "print") -> set[str]:
    known = earlier(folder)
    return set(still_good(folder, dict.fromkeys(known.names, fingerprint), known))


def test_what_was_made_is_known_and_good_after_the_run_is_broken_off(tmp_path: Path) -> None:
    made(tmp_path, {"a.txt": "one", "C/b.txt": "two"})
    assert earlier(tmp_path).names == {"a.txt", "C/b.txt"}
    assert good(tmp_path) == {"a.txt", "C/b.txt"}
    assert good(tmp_path, "made from something else") == set()


@pytest.mark.parametrize("text", ["once", "eno", ""])
def test_a_file_that_has_changed_is_not_good(text: str, tmp_path: Path) -> None:
    made(tmp_path, {"a.txt": "one", "b.txt": "two"})
    (tmp_path / "a.txt").write_text(text)
    assert good(tmp_path) == {"b.txt"}


def test_a_file_that_is_gone_or_is_a_link_is_not_good(tmp_path: Path) -> None:
    made(tmp_path, {"a.txt": "one", "b.txt": "two", "c.txt": "one"})
    (tmp_path / "a.txt").unlink()
    (tmp_path / "b.txt").rename(tmp_path / "else.txt")
    (tmp_path / "b.txt").symlink_to(tmp_path / "else.txt")
    assert good(tmp_path) == {"c.txt"}


def test_a_file_of_other_hands_is_set_aside_and_our_own_is_replaced(tmp_path: Path) -> None:
    made(tmp_path, {"ours.txt": "old", "same.txt": "same"})
    (tmp_path / "theirs.txt").write_text("theirs")
    ours = {"ours.txt": {digest(tmp_path / "ours.txt")}}
    files = {"ours.txt": "new", "same.txt": "same", "theirs.txt": "new"}
    assert made(tmp_path, files, ours) == ["theirs-kept.txt"]
    assert (tmp_path / "theirs-kept.txt").read_text() == "theirs"
    assert (tmp_path / "ours.txt").read_text() == (tmp_path / "theirs.txt").read_text() == "new"


def test_what_is_set_aside_gets_the_first_free_name(tmp_path: Path) -> None:
    names = []
    for text in ("one", "two", "three"):
        (tmp_path / "a.txt").write_text(text)
        names.append(set_aside(tmp_path / "a.txt").name)
    assert names == ["a-kept.txt", "a-kept-2.txt", "a-kept-3.txt"]
    assert [(tmp_path / name).read_text() for name in names] == ["one", "two", "three"]


def test_of_an_earlier_pack_only_unchanged_files_are_removed(tmp_path: Path) -> None:
    made(tmp_path, {"kept.txt": "one", "D/stale.txt": "two", "edited.txt": "three"})
    (tmp_path / "edited.txt").write_text("by hand")
    (tmp_path / "other.txt").write_text("never ours")
    assert remove_stale(tmp_path, ["kept.txt"], earlier(tmp_path)) == (
        ["D/stale.txt"],
        ["edited.txt"],
    )
    assert {path.name for path in tmp_path.iterdir()} == {
        STATE, "kept.txt", "edited.txt", "other.txt",
    }  # fmt: skip


def test_a_folder_is_ours_if_it_is_new_or_empty_or_of_this_track(tmp_path: Path) -> None:
    files = ["a.txt", "b.txt"]
    for folder in (tmp_path / "new", tmp_path):
        assert check_ours(folder, files, earlier(folder), TRACK) == frozenset()
    (tmp_path / "file").touch()
    with pytest.raises(GrooveError, match="a file stands where the pack's folder should go"):
        check_ours(tmp_path / "file", files, earlier(tmp_path / "file"), TRACK)


@pytest.mark.parametrize(
    "text", ["", "[]", '{"pack": 1, "files": 7}', "{", '{"pack": 1, "files": [3]}']
)
def test_a_damaged_manifest_names_no_files(text: str, tmp_path: Path) -> None:
    (tmp_path / "manifest.json").write_text(text)
    assert earlier(tmp_path).names <= {"manifest.json"}
    assert not earlier(tmp_path).made


def test_no_name_leads_out_of_the_folder(tmp_path: Path) -> None:
    made(tmp_path, {"a.txt": "one"})
    record = next((tmp_path / STATE).glob("done-*.json"))
    for name in ("../a.txt", "/a.txt", ".hidden", "a/b/c.txt", f"..{os.sep}a.txt"):
        record.write_text(record.read_text().replace("a.txt", name))
        assert name not in earlier(tmp_path).names
        record.write_text(record.read_text().replace(name, "a.txt"))
    assert earlier(tmp_path).names == {"a.txt"}
    assert isinstance(earlier(tmp_path).made["a.txt"][0], Made)
