"""Videos, covers, preview and texts in a pack: which there are, what each depends on, failures."""

from __future__ import annotations

import re
import shutil
import sys
import zipfile
from pathlib import Path
from typing import Any

import pytest

from groove.errors import GrooveError
from groove.handout.pack.estimate import estimate
from groove.handout.pack.folder import INDEX, MANIFEST, STATE, digest
from groove.handout.pack.keys import in_keys, read_keys
from groove.handout.pack.make import _begin
from groove.handout.pack.plan import PackPlan, plan_pack
from groove.handout.pack.posting import PostingOptions, read_posting, unheeded
from groove.handout.served import WORKER
from groove.sound.options import AudioOptions, wanted
from groove.sound.synth.soundfonts import find_fonts
from tests.handout.pack.pack_material import FORM, InOrder, digests, files, listed, pack_into
from tests.handout.pack.posting_material import Clips, clip, post_into

NO_MORE: dict[str, Any] = {"keys": "C", "cover": False, "preview": False, "text": False}
WIDE, UPRIGHT = "01_C/short-way_C_120_wide.mp4", "01_C/short-way_C_120_upright.mp4"


@pytest.fixture
def folder(posted_pack: Path, tmp_path: Path) -> Path:
    """A pack with all that is posted, which a test may change."""
    return shutil.copytree(posted_pack, tmp_path / "pack")


def _plan(
    audio: str = "mp3",
    options: AudioOptions | None = None,
    keys: str = "C,Bb",
    tempos: tuple[float, ...] = (90, 120),
    **posting: Any,
) -> PackPlan:
    tracks = in_keys(FORM, read_keys(keys, FORM.key), tempos)
    font = find_fonts(None, {}, [])
    asked = wanted(audio, options or {})
    return plan_pack(FORM, tracks, asked, font, posting=read_posting(posting))


def _names(plan: PackPlan, kind: str) -> list[str]:
    return [piece.path for piece in plan.pieces if piece.kind == kind]


# Which there are


def test_there_is_a_video_of_each_size_for_each_key_and_tempo() -> None:
    assert _names(_plan(video="square,WIDE"), "video") == [
        f"{folder}_{tempo}_{size}.mp4"
        for folder in ("01_C/short-way_C", "11_B-flat/short-way_B-flat")
        for tempo in ("090", "120")
        for size in ("square", "wide")
    ]


def test_covers_and_texts_stand_beside_each_track_and_one_preview_in_the_forms_own_key() -> None:
    plan = _plan(keys="C,E", cover=True, preview=True, text=True)
    covers, texts = _names(plan, "cover"), _names(plan, "post")
    assert (len(covers), len(texts)) == (2 * 2 * 2, 2 * 2 * 2)
    assert covers[:2] == [f"01_C/short-way_C_090_cover-{size}.png" for size in ("square", "wide")]
    assert texts[:2] == [f"01_C/short-way_C_090_text.{ending}" for ending in ("md", "txt")]
    assert _names(plan, "preview") == ["05_E/short-way_E_120_preview.mp3"]
    assert _names(_plan(preview=True), "preview") == ["01_C/short-way_C_120_preview.mp3"]


def test_an_upright_video_has_a_cover_of_its_shape() -> None:
    plan = _plan(keys="C", tempos=(120,), cover=True, video="upright")
    assert [name[:-4].rpartition("-")[2] for name in _names(plan, "cover")] == [
        "square", "upright", "wide",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("video", "sizes"),
    [(True, ["wide"]), (["square", "upright"], ["square", "upright"]), (False, []), (None, [])],
)
def test_sizes_are_named_and_alone_it_is_wide(video: Any, sizes: list[str]) -> None:
    plan = _plan(keys="C", tempos=(120,), video=video)
    assert [name[:-4].rpartition("_")[2] for name in _names(plan, "video")] == sizes


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"video": "wyde"}, "video: found 'wyde'; did you mean wide?"),
        ({"video": True, "theme": "drak"}, "theme: found 'drak'; did you mean dark?"),
        ({"video": True, "show": "nack"}, "show: found 'nack'; did you mean neck?"),
    ],
)
def test_an_unknown_name_is_refused(options: dict[str, Any], said: str) -> None:
    with pytest.raises(GrooveError) as error:
        _plan(**options)
    assert str(error.value) == said


@pytest.mark.parametrize(
    ("package", "asked", "what"),
    [
        ("av", {"video": True}, "a video"),
        ("pypdfium2", {"video": True}, "a video"),
        ("pypdfium2", {"cover": True}, "a cover"),
        ("PIL", {"cover": True}, "a cover"),
    ],
)
def test_without_a_package_of_the_extra_one_line_says_so_before_anything_is_made(
    package: str, asked: dict[str, Any], what: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, package, None)
    with pytest.raises(GrooveError) as error:
        pack_into(tmp_path / "pack", **asked)
    assert str(error.value) == f"{what} needs more packages; run: pip install 'groove[video]'"
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("asked", "lines"),
    [
        ({"show": "neck", "theme": "dark"}, 2),
        ({"show": "neck", "theme": "dark", "cover": True}, 1),
        ({"show": "neck", "theme": "dark", "video": True}, 0),
        ({}, 0),
    ],
)
def test_options_for_what_is_not_there_are_told_to_do_nothing(
    asked: PostingOptions, lines: int
) -> None:
    assert len(unheeded(read_posting(asked))) == lines


# What each depends on


@pytest.mark.parametrize(
    ("changes", "made_again"),
    [
        ({"theme": "dark"}, r"\.mp4|\.png"),
        ({"show": "neck"}, r"\.mp4"),
        ({"video": None}, r"_text"),
        ({"options": {"apart": True}}, r"\.mp[34]"),
        ({"options": {"loudness": -20.0}}, r"\.mp[34]"),
        ({"options": {"without": "bass"}}, r"\.mp[34]|_text"),
        ({"audio": "mp3,wav"}, r"\.wav"),
        ({"audio": "mp3,wav", "options": {"bits": 24}}, r"\.wav|\.mp4"),
        ({"audio": "mp3", "options": {"stems": True}}, r"_(drums|bass|comping|click)\.mp3"),
    ],
)
def test_what_shows_sounds_or_says_something_else_is_made_again_and_no_other(
    changes: dict[str, Any], made_again: str
) -> None:
    """A text says when chapters begin, and with a video that is after its title card."""
    asked = {"video": True, "cover": True, "preview": True, "text": True}
    before = {piece.path: piece.fingerprint for piece in _plan(**asked).pieces}
    after = {piece.path: piece.fingerprint for piece in _plan(**asked | changes).pieces}
    new = {path for path in after if after[path] != before.get(path)}
    assert new == {path for path in after if re.search(made_again, path)}


def test_another_version_of_the_encoder_makes_pictures_again_and_no_sound(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def fingerprints() -> dict[str, str]:
        plan = _plan(video=True, cover=True, preview=True, text=True)
        return {piece.path: piece.fingerprint for piece in plan.pieces}

    before = fingerprints()
    monkeypatch.setattr("groove.handout.pack.plan.pictures_digest", lambda: "av 99")
    after = fingerprints()
    new = {path for path in after if after[path] != before[path]}
    assert new == {path for path in after if path.endswith((".mp4", ".png"))}


def test_a_worker_with_another_encoder_is_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Elsewhere(InOrder):
        def submit(self, fn: Any, /, *args: Any, **kwargs: Any) -> Any:
            with pytest.MonkeyPatch.context() as there:
                there.setattr("groove.handout.pack.jobs.pictures_digest", lambda: "av 99")
                return super().submit(fn, *args, **kwargs)

    with pytest.raises(GrooveError, match="a worker has another version of groove"):
        post_into(tmp_path / "pack", executor=Elsewhere(), **NO_MORE)


def test_all_videos_of_a_track_have_its_wav_or_the_same_sound_rendered_once(
    tmp_path: Path,
) -> None:
    """So a video is the same whether the pack has a WAV or not."""
    rendered, kept = Clips(), Clips()
    post_into(tmp_path / "one", rendered, **NO_MORE, apart=True)
    post_into(tmp_path / "other", kept, audio="wav", **NO_MORE, apart=True)
    (wav,) = {call["audio"] for call in kept.calls}
    assert wav == tmp_path / "other" / "01_C" / "short-way_C_120.wav"
    assert len({call["audio"] for call in rendered.calls}) == 1
    assert not list((tmp_path / "one").rglob("*.wav"))
    assert [*rendered.sounds, *kept.sounds] == [digest(wav)] * 4
    assert [call["apart"] for call in rendered.calls] == [True, True]


# With the other files


def test_manifest_zip_and_list_of_files_have_them_all(posted_pack: Path) -> None:
    entries = listed(posted_pack).items()
    assert {
        path[21:]: entry["what"] for path, entry in entries if "01_C/short-way_C_120_" in path
    } == {
        "upright.mp4": "upright video",
        "wide.mp4": "video",
        "cover-square.png": "square cover",
        "cover-upright.png": "upright cover",
        "cover-wide.png": "cover",
        "preview.mp3": "preview",
        "text.md": "text to post",
        "text.txt": "text to post",
    }
    with zipfile.ZipFile(posted_pack / "short-way.zip") as archive:
        assert archive.read(f"short-way/{WIDE}") == clip("wide")
    page = (posted_pack / INDEX).read_text("utf-8")
    assert re.findall(r'href="([^"]*)" download data-kind="video"', page)[:2] == [WIDE, UPRIGHT]
    assert "the tracks and the practice page" in (posted_pack / "CREDITS.txt").read_text("utf-8")


def test_a_device_keeps_pictures_but_no_video_and_no_preview_by_itself(posted_pack: Path) -> None:
    worker = (posted_pack / WORKER).read_text("utf-8")
    assert "sheet.pdf" in worker
    assert "cover-wide.png" in worker
    assert ".mp4" not in worker
    assert ".mp3" not in worker


def test_a_second_run_makes_nothing(folder: Path) -> None:
    executor = InOrder()
    _, said = post_into(folder, executor=executor)
    assert executor.made == []
    assert said[-1].startswith("nothing to do: all 32 files")


def test_a_pack_without_the_videos_of_before_removes_them(folder: Path) -> None:
    packed, _ = post_into(folder, video="wide")
    assert [name[4:] for name in packed.removed if name.startswith("01")] == [
        "/short-way_C_120_cover-upright.png",
        "/short-way_C_120_upright.mp4",
    ]
    assert (folder / WIDE).exists()


def test_a_damaged_video_is_set_aside_and_made_again_alone(folder: Path) -> None:
    before = digests(folder)
    (folder / WIDE).write_bytes(b"cut short")
    executor = InOrder()
    packed, _ = post_into(folder, executor=executor)
    assert executor.made == [WIDE]
    assert packed.aside == ("01_C/short-way_C_120_wide-kept.mp4",)
    (folder / packed.aside[0]).unlink()
    assert digests(folder) == before


# Failures


def test_a_full_disk_leaves_no_video_and_all_else_and_the_next_run_goes_on(tmp_path: Path) -> None:
    class Full(Clips):
        def make_video(self, form: Any, path: Path, **options: Any) -> Path:
            if options["size"] == "upright":
                path.write_bytes(b"begun")
                raise OSError(28, "No space left on device")
            return super().make_video(form, path, **options)

    with pytest.raises(GrooveError, match=r"_wide\.mp4: can't be written: No space left"):
        post_into(tmp_path, Full(), **NO_MORE)
    there = {name for name in files(tmp_path) if not name.startswith(STATE)}
    executor = InOrder()
    post_into(tmp_path, executor=executor, **NO_MORE)
    assert executor.made == sorted([WIDE, UPRIGHT])
    about = {name for name, entry in listed(tmp_path).items() if entry["kind"] == "text"}
    assert there == set(listed(tmp_path)) - {WIDE, UPRIGHT} - about
    assert files(tmp_path) == set(listed(tmp_path)) | {MANIFEST, "short-way.zip"}


# How much it is


def test_videos_are_in_the_estimate_of_time_and_room() -> None:
    def of(**posting: Any) -> Any:
        tasks = _plan(**posting).tasks
        return estimate(tasks, tasks, 2)

    none, one, three = of(), of(cover=True, preview=True, text=True), of(video="wide,upright")
    assert (one.files - none.files, three.files - none.files) == (2 * 8 + 1, 8)
    assert none.size < one.size < three.size
    assert none.zip_size < one.zip_size
    assert none.seconds < one.seconds < three.seconds


@pytest.mark.parametrize(
    ("video", "most", "lines"), [("wide", 1000, 1), ("wide", 1e9, 0), (None, 1000, 0)]
)
def test_a_zip_that_videos_make_too_large_for_many_sites_is_told_in_one_line(
    video: str | None, most: float, lines: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("groove.handout.pack.make.MOST_ZIP", most)
    plan, said = _plan(video=video), list[str]()
    _begin(list(plan.tasks), plan, tmp_path, said.append, lambda estimate: True)
    assert len([line for line in said if "the zip takes the videos in" in line]) == lines
