"""What lies in a pack's folder, and which of it the page may have."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from groove.handout.pack.estimate import amount
from groove.handout.pack.folder import INDEX, MANIFEST, claimed, earlier
from groove.handout.pack.prepare import prepare
from groove.screen.posting.contents import contents, entries_of, shown_file, text_of
from tests.handout.pack.pack_material import FORM, listed

SOUND, TEXT = "01_C/short-way_C_120.mp3", "01_C/short-way_C_120_text.txt"


@pytest.fixture
def folder(whole_pack: Path, tmp_path: Path) -> Path:
    """A pack beside other files."""
    folder = tmp_path / "short-way"
    shutil.copytree(whole_pack, folder)
    (tmp_path / "secret.txt").write_text("secret")
    return folder


def test_it_tells_what_there_is_by_kind_key_and_tempo(whole_pack: Path) -> None:
    found = contents(whole_pack)
    assert found
    assert found["isWhole"]
    assert found["overview"]
    assert found["path"] == str(whole_pack)
    assert found["zip"] == {
        "path": "short-way.zip",
        "size": amount((whole_pack / "short-way.zip").stat().st_size),
    }
    assert not found["isOlder"]  # no form was named
    files = listed(whole_pack)
    assert sum(count for _, count, _ in found["kinds"]) == len(files)
    assert [each["words"] for each in found["keys"]] == ["C major", "B♭ major"]
    tracks = found["keys"][0]["tracks"]
    assert [track["tempo"] for track in tracks] == [90, 120]
    mixes = [each["mix"] for each in tracks[0]["files"] if each["kind"] == "audio"]
    assert mixes[0] == "all"
    assert "_without-bass" in mixes
    assert "_bass" in mixes
    shown = [each["path"] for key in found["keys"] for each in key["papers"]]
    shown += [e["path"] for key in found["keys"] for t in key["tracks"] for e in t["files"]]
    assert all(shown_file(whole_pack, name) == whole_pack / name for name in shown)


def test_what_a_smaller_choice_removes_is_known_beforehand(whole_pack: Path) -> None:
    files = {each["path"] for each in json.loads((whole_pack / MANIFEST).read_text())["files"]}
    going = prepare(FORM, whole_pack, keys="C", quickly=True).going
    assert going
    assert {name for name in files if name.startswith("11_")} <= set(going) <= files
    assert {SOUND, "01_C/short-way_C_chart.pdf"} <= files - set(going)


def test_a_pack_of_the_form_as_it_was_before_a_change_is_told(whole_pack: Path) -> None:
    planned = entries_of(prepare(FORM, whole_pack, keys="C,F", quickly=True).plan)
    for form, is_older in ((FORM, False), (replace(FORM, choruses=FORM.choruses + 1), True)):
        found = contents(whole_pack, planned, form)
        assert found
        assert found["isOlder"] is is_older


def test_a_zip_elsewhere_that_a_manifest_names_is_none(folder: Path) -> None:
    (folder.parent / "all.zip").write_text("secret")
    manifest = (folder / MANIFEST).read_text()
    for name in ("../all.zip", "index.html", "/etc/hostname"):
        (folder / MANIFEST).write_text(manifest.replace('"short-way.zip"', json.dumps(name)))
        found = contents(folder)
        assert found
        assert found["zip"] is None


def test_of_a_pack_that_is_not_whole_it_tells_what_is_there(folder: Path) -> None:
    planned = list(listed(folder).values())
    (folder / SOUND).unlink()
    (folder / ".groove-pack").mkdir()
    found = contents(folder, planned)
    assert found
    assert not found["isWhole"]
    assert not found["overview"]
    assert found["zip"] is None
    assert SOUND not in str(found)
    assert contents(folder.parent) is None
    assert contents(folder.parent / "none") is None


@pytest.mark.parametrize(
    "name",
    [
        "", ".", "..", "../secret.txt", "01_C/../../secret.txt", "/etc/passwd.txt", "01_C",
        "01_C/", "./" + SOUND, "01_C//short-way_C_120.mp3", SOUND + "\0", SOUND + "\n",
        SOUND.upper(), SOUND.replace("/", "\\"), INDEX, MANIFEST, "offline.js", "secret.zip",
        "short-way_practice.html", "mine.txt", ".groove-pack/names.json",
    ],
)  # fmt: skip
def test_no_other_file_is_shown(name: str, folder: Path) -> None:
    (folder / "mine.txt").write_text("mine")
    (folder / "secret.zip").write_text("mine")
    assert shown_file(folder, SOUND) is not None
    assert shown_file(folder, name) is None


def test_no_link_is_followed(folder: Path) -> None:
    secret = folder.parent / "secret.txt"
    (folder / SOUND).unlink()
    (folder / SOUND).symlink_to(secret)
    assert shown_file(folder, SOUND) is None
    shutil.move(folder / "11_B-flat", folder.parent / "elsewhere")
    (folder / "11_B-flat").symlink_to(folder.parent / "elsewhere")
    there = "11_B-flat/short-way_B-flat_120.mp3"
    assert (folder / there).is_file()
    assert shown_file(folder, there) is None
    (folder.parent / "linked").symlink_to(folder)
    assert shown_file(folder.parent / "linked", "01_C/short-way_C_90.mp3") is None
    assert contents(folder.parent / "linked") is None


def test_a_manifest_can_not_name_files_elsewhere(folder: Path) -> None:
    manifest = (folder / MANIFEST).read_text()
    for name in ("../secret.txt", "/etc/hostname", "01_C/../../secret.txt"):
        (folder / MANIFEST).write_text(manifest.replace(SOUND, name))
        assert shown_file(folder, name) is None
        assert name not in str(contents(folder))


def test_a_text_to_post_is_told_in_its_parts(posted_pack: Path) -> None:
    found = text_of(posted_pack, TEXT, FORM)
    assert found
    assert found["title"].startswith("Short Way: ")
    assert found["tags"]
    assert found["long"]
    for name in (TEXT.replace(".txt", ".md"), SOUND, "../secret.txt"):
        assert text_of(posted_pack, name, FORM) is None


def test_papers_in_concert_pitch_come_first(tmp_path: Path) -> None:
    plan = prepare(FORM, tmp_path, keys="C", audio="none", readers="Bb,bass", quickly=True).plan
    with claimed(tmp_path, [piece.path for piece in plan.pieces], earlier(tmp_path), plan.stem):
        (tmp_path / "01_C").mkdir()
        for piece in plan.pieces:
            (tmp_path / piece.path).write_text("made")
        found = contents(tmp_path, entries_of(plan))
        assert found
    papers = found["keys"][0]["papers"]
    assert [each["reader"] for each in papers] == ["concert"] * 4 + ["Bb"] * 4 + ["bass-clef"] * 4
