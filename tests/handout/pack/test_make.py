"""The pack: its files, a second run, and files of other origin, which it never touches."""

from __future__ import annotations

import fcntl
import hashlib
import json
import shutil
import zipfile
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from types import SimpleNamespace
from urllib.parse import unquote, urlsplit

import pytest

import groove
from groove.errors import GrooveError
from groove.handout.pack.folder import CREDITS, INDEX, MANIFEST, STATE
from groove.handout.served import APP, ICON, WORKER
from tests.command_line import snapshot, without_privileges
from tests.handout.pack.pack_material import (
    FORM,
    SMALL,
    InOrder,
    digests,
    files,
    listed,
    pack_into,
    times,
)
from tests.sound.sound_material import GENERAL_MIDI

ZIP = "short-way.zip"
VOID = {"meta", "link", "br", "input", "img"}


@pytest.fixture
def folder(whole: Path, tmp_path: Path) -> Path:
    """A pack that a test may change."""
    return shutil.copytree(whole, tmp_path / "pack")


# Its files


def test_the_manifest_lists_every_file_but_itself_and_the_zip(whole: Path) -> None:
    assert files(whole) == set(listed(whole)) | {MANIFEST, ZIP}


def test_every_file_is_what_the_manifest_says(whole: Path) -> None:
    for path, entry in listed(whole).items():
        content = (whole / path).read_bytes()
        assert (len(content), hashlib.sha256(content).hexdigest()) == (
            entry["size"],
            entry["sha256"],
        )


def test_names_say_key_tempo_and_part_and_sort_by_them(whole: Path) -> None:
    names = sorted(name for name in files(whole) if name.startswith("01_C/"))
    parts = ("bass", "click", "comping", "drums", "without-bass", "without-comping")
    tracks = [
        f"01_C/short-way_C_{tempo}{end}"
        for tempo in ("090", "120")
        for end in (".mid", ".mp3", *(f"_{part}.mp3" for part in (*parts, "without-drums")))
    ]
    papers = ("chart.musicxml", "chart.pdf", "chart.svg", "sheet.pdf")
    assert names == [*tracks, *(f"01_C/short-way_C_{paper}" for paper in papers)]
    assert {name.split("/")[0] for name in files(whole) if "/" in name} == {"01_C", "11_B-flat"}


def test_every_file_begins_as_its_kind_does(whole: Path) -> None:
    begins = {".mid": b"MThd", ".mp3": b"ID3", ".pdf": b"%PDF-", ".html": b"<!doctype html>"}
    for name in files(whole):
        begin = begins.get(Path(name).suffix, b"")
        assert (whole / name).read_bytes().startswith(begin), name


def test_the_zip_holds_the_folder_in_a_folder_of_its_own(whole: Path) -> None:
    with zipfile.ZipFile(whole / ZIP) as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        packed = {name.partition("/")[2]: archive.read(name) for name in names}
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    assert names == sorted(names)
    assert all(name.startswith("short-way/") for name in names)
    there = {name: (whole / name).read_bytes() for name in files(whole) - {ZIP}}
    assert packed == there


class _Page(HTMLParser):
    """Elements opened and closed, links and labels."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.links: list[str] = []
        self.ids: list[str] = []
        self.players: list[dict[str, str | None]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag not in VOID:
            self.open.append(tag)
        self.links += [value for name in ("href", "src") if (value := given.get(name))]
        self.ids += [value] if (value := given.get("id")) else []
        self.players += [given] if tag == "audio" else []

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


@pytest.fixture(scope="module")
def page(whole: Path) -> _Page:
    parser = _Page()
    parser.feed((whole / INDEX).read_text("utf-8"))
    return parser


def test_the_index_is_well_formed(page: _Page) -> None:
    assert page.open == []
    assert len(page.ids) == len(set(page.ids))


def test_every_link_of_the_index_leads_to_a_file_of_the_pack(page: _Page, whole: Path) -> None:
    parts = [urlsplit(link) for link in page.links if link != "data:,"]
    assert {(part.scheme, part.netloc) for part in parts} == {("", "")}
    not_linked = {INDEX, APP, WORKER, ICON}
    assert {unquote(part.path) for part in parts if part.path} == files(whole) - not_linked
    assert {part.fragment for part in parts if not part.path} <= set(page.ids)


def test_the_index_has_a_labelled_player_that_loads_nothing_by_itself(page: _Page) -> None:
    (player,) = page.players
    assert player["src"] == "01_C/short-way_C_120.mp3"
    assert player["preload"] == "none"
    assert player["aria-label"] == "C blues at 120"


def test_the_credits_name_the_soundfont_and_its_makers(whole: Path) -> None:
    text = " ".join((whole / CREDITS).read_text("utf-8").split())
    for words in (
        "groove band", "Frank Wen", "no more than a credit, which these lines give",
        "CC0", "CC BY 4.0", "MIT licence", "SIL Open Font License", "free of charge", "80 dBA",
    ):  # fmt: skip
        assert words in text


def test_the_packages_own_sounds_are_posted_without_a_caution(folder: Path) -> None:
    _, said = pack_into(folder)
    assert not [line for line in said if line.startswith("caution:")]


def test_a_licence_that_asks_something_is_warned_of(tmp_path: Path) -> None:
    """By the line that is said, and in the credits and the overview."""
    asked = {**SMALL, "audio": "none", "soundfont": [f"bass={GENERAL_MIDI}"]}
    packed, said = pack_into(tmp_path / "pack", **asked)
    assert [line for line in said if line.startswith("caution:") and "GNU" in line]
    for text in (packed.folder / CREDITS, packed.index):
        words = " ".join(text.read_text("utf-8").split())
        assert "Bass from TimGM6mb (GNU General Public License, version 2)" in words
        assert "has to offer that licence" in words


# A second run


def test_a_second_run_makes_nothing_and_says_so(folder: Path) -> None:
    before = times(folder)
    executor = InOrder()
    _, said = pack_into(folder, executor=executor)
    assert executor.made == []
    assert times(folder) == before
    assert said[-1].startswith("nothing to do: all 51 files")


@pytest.mark.parametrize("name", [ZIP, INDEX, CREDITS])
def test_what_describes_the_others_comes_back_without_making_them(folder: Path, name: str) -> None:
    before = digests(folder)
    (folder / name).unlink()
    executor = InOrder()
    pack_into(folder, executor=executor)
    assert executor.made == []
    assert digests(folder) == before


def test_what_is_missing_or_damaged_is_made_again_and_nothing_else(folder: Path) -> None:
    before = digests(folder)
    missing, damaged = "01_C/short-way_C_090_bass.mp3", "11_B-flat/short-way_B-flat_chart.pdf"
    (folder / missing).unlink()
    (folder / damaged).write_bytes(b"other")
    executor = InOrder()
    pack_into(folder, executor=executor)
    assert sorted(executor.made) == [missing, damaged]
    assert (folder / "11_B-flat/short-way_B-flat_chart-kept.pdf").read_bytes() == b"other"
    assert {
        name: digest for name, digest in digests(folder).items() if "kept" not in name
    } == before


def test_what_is_made_is_the_same_whatever_was_there_before(tmp_path: Path) -> None:
    """Formats made in two runs, and a lost one, compared with those made in one run."""
    once, twice = tmp_path / "once", tmp_path / "twice"
    pack_into(once, audio="wav,mp3", **SMALL)
    pack_into(twice, audio="wav", **SMALL)
    pack_into(twice, audio="wav,mp3", **SMALL)
    assert digests(once) == digests(twice)
    (twice / "01_C" / "short-way_C_120.wav").unlink()
    pack_into(twice, audio="wav,mp3", **SMALL)
    assert digests(once) == digests(twice)


def test_a_title_in_any_script_is_known_again(tmp_path: Path) -> None:
    once = SMALL | {"audio": "none", "form": replace(FORM, title="Ночной блюз, रात")}
    pack_into(tmp_path, **once)
    executor = InOrder()
    pack_into(tmp_path, executor=executor, **once)
    assert executor.made == []


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"loudness": -20.0}, lambda name: name.endswith(".mp3")),
        ({"audio": "mp3,wav"}, lambda name: name.endswith(".wav")),
        ({"tempos": "100,120"}, lambda name: "_100" in name),
        ({"keys": "C,F"}, lambda name: name.startswith("06_F/")),
        ({"without_each": False}, lambda name: False),
    ],
)
def test_another_option_makes_only_what_depends_on_it(
    folder: Path, changes: dict[str, object], expected: Callable[[str], bool]
) -> None:
    less = {"keys": "C", "tempos": "120"}
    pack_into(folder, **less)
    executor = InOrder()
    pack_into(folder, executor=executor, **less | changes)
    made = sorted(executor.made)
    assert made == sorted(name for name in listed(folder) if expected(name))
    assert files(folder) == set(listed(folder)) | {MANIFEST, ZIP}


def test_files_of_an_earlier_pack_that_this_one_does_not_have_go_unless_changed(
    folder: Path,
) -> None:
    kept = folder / "11_B-flat" / "short-way_B-flat_090.mid"
    kept.write_bytes(b"arranged by hand")
    packed, said = pack_into(folder, keys="C")
    assert files(folder) - {"11_B-flat/short-way_B-flat_090.mid"} == set(listed(folder)) | {
        MANIFEST,
        ZIP,
    }
    assert kept.read_bytes() == b"arranged by hand"
    assert len(packed.removed) == 21
    assert any(line.startswith("removed what") and "21 files" in line for line in said)
    assert any(str(kept) in line and "stays" in line for line in said)


# Files of other origin


@pytest.mark.parametrize("name", [INDEX, MANIFEST, ZIP, "01_C/short-way_C_chart.pdf", "01_C"])
def test_a_file_that_is_not_ours_is_never_replaced(tmp_path: Path, name: str) -> None:
    folder = tmp_path / "site"
    (folder / name).parent.mkdir(parents=True)
    (folder / name).write_bytes(b"{}")
    with pytest.raises(GrooveError, match="choose another folder"):
        pack_into(folder)
    assert {key for key, value in snapshot(folder).items() if value} == {name}


def test_files_beside_ours_stay(folder: Path) -> None:
    (folder / "notes.txt").write_text("mine")
    (folder / "01_C" / "take.wav").write_text("mine")
    pack_into(folder, keys="Bb")
    assert files(folder) >= {"notes.txt", "01_C/take.wav"}


def test_the_pack_of_another_track_is_left_alone(folder: Path) -> None:
    before = digests(folder)
    with pytest.raises(GrooveError, match="holds the pack of another track, short-way"):
        pack_into(folder, form="twelve-bar")
    assert digests(folder) == before


def test_a_manifest_can_not_lead_out_of_the_folder(folder: Path) -> None:
    outside = folder.parent / "mine.txt"
    outside.write_text("mine")
    content = json.loads((folder / MANIFEST).read_text())
    facts = {"size": 4, "sha256": hashlib.sha256(b"mine").hexdigest(), "fingerprint": ""}
    content["files"].append({"path": "../mine.txt"} | facts)
    (folder / MANIFEST).write_text(json.dumps(content))
    pack_into(folder, keys="C")
    assert outside.read_text() == "mine"


def test_a_folder_that_is_a_link_out_of_the_pack_is_refused(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (tmp_path / "site").mkdir()
    (tmp_path / "site" / "01_C").symlink_to(elsewhere)
    with pytest.raises(GrooveError, match="not a folder of this pack"):
        pack_into(tmp_path / "site")
    assert list(elsewhere.iterdir()) == []


# Failures of the system


def test_an_unwritable_folder_is_one_line_and_nothing_is_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    tmp_path.chmod(0o555)
    with without_privileges(), pytest.raises(GrooveError, match="can't be written: Permission"):
        pack_into(Path("new/pack"))
    assert list(tmp_path.iterdir()) == []


def test_a_job_that_fails_leaves_what_others_finished_and_the_next_run_goes_on(
    whole: Path, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_arguments: object, **_options: object) -> None:
        raise OSError(28, "No space left on device")

    for lost in list(folder.rglob("*.pdf")):
        lost.unlink()
    with monkeypatch.context() as patched:
        patched.setattr("groove.handout.sheet.files.write_sheet_files", full)
        with pytest.raises(GrooveError, match=r"sheet\.pdf: can't be written: No space left"):
            pack_into(folder)
    assert [name for name in files(folder) if name.endswith("sheet.pdf")] == []
    assert not list((folder / STATE).glob("work-*"))
    finished = {name for name in files(folder) if name.endswith("chart.pdf")}
    executor = InOrder()
    pack_into(folder, executor=executor)
    assert {name for name in executor.made if name.endswith("chart.pdf")} == {
        f"{key}_chart.pdf" for key in ("01_C/short-way_C", "11_B-flat/short-way_B-flat")
    } - finished
    assert digests(folder) == digests(whole)


def test_without_room_for_the_zip_nothing_tells_of_it(
    folder: Path, whole: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_arguments: object) -> None:
        raise OSError(28, "No space left on device")

    for name in (INDEX, CREDITS, ZIP):
        (folder / name).unlink()
    with monkeypatch.context() as patched:
        patched.setattr("groove.handout.pack.about.write_zip", full)
        with pytest.raises(GrooveError, match="can't be written: No space left"):
            pack_into(folder)
    assert not {INDEX, CREDITS, ZIP} & files(folder)
    pack_into(folder)
    assert digests(folder) == digests(whole)


def test_a_run_that_makes_nothing_leaves_no_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_arguments: object) -> None:
        raise GrooveError("broken")

    monkeypatch.setattr("groove.handout.pack.jobs._make", broken)
    with pytest.raises(GrooveError, match="broken"):
        pack_into(tmp_path / "new" / "pack")
    assert list(tmp_path.iterdir()) == []


def test_a_refused_pack_without_a_folder_leaves_no_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(GrooveError, match="nothing was begun"):
        pack_into(None, tempos=range(60, 160), agree=lambda _: False)  # type: ignore[arg-type]
    assert FORM.title == "Short Way"
    assert list(tmp_path.iterdir()) == []


def test_another_run_in_the_same_folder_meanwhile_is_refused(folder: Path) -> None:
    (folder / CREDITS).unlink()
    (folder / STATE).mkdir()
    with (folder / STATE / "lock").open("wb") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        with pytest.raises(GrooveError, match="another run is making this pack just now"):
            pack_into(folder)
    pack_into(folder)
    assert files(folder) == set(listed(folder)) | {MANIFEST, ZIP}


def test_what_finds_no_room_is_not_begun(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shutil.disk_usage", lambda _path: SimpleNamespace(free=1_000_000))
    with pytest.raises(GrooveError, match=r"no room for it: that takes about \d+ MB, and 1\.0 MB"):
        pack_into(tmp_path / "pack")
    assert list(tmp_path.iterdir()) == []


def test_tempos_out_of_place_end_in_one_line(tmp_path: Path) -> None:
    said: list[str] = []
    with pytest.raises(GrooveError, match="nothing was begun"):
        groove.pack(
            FORM, tmp_path / "pack", keys="C", tempos=range(60, 160), stems=True,
            without_each=True, say=said.append, agree=lambda _: False,
        )  # fmt: skip
    notes = [line for line in said if line.startswith("note:")]
    assert len(notes) == 1
    assert notes[0].startswith("note: tempo 60, 61, ")
    assert "83, 151" in notes[0]
