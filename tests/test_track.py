"""The Python API: what make returns and writes, and that it writes all or nothing."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import TYPE_CHECKING

import mido
import pytest

import groove
from groove.files import written_together
from groove.form.names import file_stem
from groove.sound.synth.soundfonts import find_soundfont
from tests.command_line import snapshot
from tests.theory.key_material import KEYS

if TYPE_CHECKING:
    from groove.sound.report import Report

README = Path(__file__).parents[1] / "README.md"
PYTHON_BLOCKS = re.findall(r"^```python\n(.*?)^```", README.read_text("utf-8"), re.M | re.S)


@pytest.fixture(autouse=True)
def _in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def test_the_readme_shows_python() -> None:
    assert PYTHON_BLOCKS


@pytest.mark.parametrize("number", range(len(PYTHON_BLOCKS)))
def test_python_in_the_readme_runs_as_it_stands(number: int) -> None:
    names: dict[str, object] = {}
    exec(compile(PYTHON_BLOCKS[number], f"README.md, python block {number + 1}", "exec"), names)
    paths = names.get("paths", [])
    assert isinstance(paths, list)
    assert [path for path in paths if not path.is_file()] == []


def test_make_returns_the_midi_file_first() -> None:
    paths = groove.make("one-chord-vamp", "out", audio="wav")
    assert [path.suffix for path in paths] == [".mid", ".wav"]
    assert sorted(snapshot(Path("out"))) == sorted(path.name for path in paths)


def test_make_has_the_options_of_the_command_line() -> None:
    heard: list[Report] = []
    paths = groove.make(
        "one-chord-vamp", "out", audio="mp3", stems=True, only=["bass"], report=heard.append
    )
    assert [re.sub(r".*?_\d+", "", path.name) for path in paths] == [
        ".mid", "_only-bass.mp3", "_bass.mp3", "_click.mp3",
    ]  # fmt: skip
    assert heard[0].parts == ("bass", "click")


@pytest.mark.parametrize(("loudness", "noted"), [(-10, True), (-14, False)])
def test_a_loudness_out_of_reach_is_noted(loudness: float, noted: bool) -> None:
    said: list[str] = []
    form = groove.read_form("twelve-bar", drums="sixteenth-funk", choruses=1)
    font = find_soundfont(None, {}, []).path
    groove.make(form, audio="wav", soundfont=font, loudness=loudness, say=said.append)
    assert any("LU softer than asked for" in line for line in said) == noted


def test_make_takes_a_path_a_name_and_a_form() -> None:
    Path("a.toml").write_text('title = "A"\nchords = "I7:4"\n')
    made = [groove.make(form, "out")[0].read_bytes() for form in (
        "a.toml", Path("a.toml"), groove.read_form("a.toml")
    )]  # fmt: skip
    assert made[0] == made[1] == made[2]


def test_make_again_takes_the_place_of_the_earlier_result() -> None:
    path = groove.make("twelve-bar", "out")[0]
    before = path.read_bytes()
    groove.make(groove.read_form("twelve-bar", seed=99), "out")
    assert path.read_bytes() != before
    assert list(snapshot(Path("out"))) == [path.name]


@pytest.mark.parametrize("key", [key.symbol for key in KEYS])
def test_every_key_reads_back_from_the_midi(key: str) -> None:
    path = groove.make(groove.read_form("one-chord-vamp", key=key, choruses=1), "out")[0]
    (found,) = [m.key for m in mido.MidiFile(path).tracks[0] if m.type == "key_signature"]
    assert found == key


@pytest.mark.parametrize(
    ("audio", "nearest"), [("mp4", "mp3"), ("", "wav"), ("WAV", "wav"), ("wav,fla", "flac")]
)
def test_an_unknown_kind_of_audio_is_an_error_that_names_the_nearest(
    audio: str, nearest: str
) -> None:
    with pytest.raises(groove.GrooveError, match=nearest):
        groove.make("twelve-bar", "out", audio=audio)
    assert snapshot(Path()) == {}


@pytest.mark.parametrize(
    "title", ["Ferry Landing", "Лодка", "../../x", "a/b", "...", "-rf", "CON.", "é" * 120]
)
def test_a_file_s_name_is_one_plain_word(title: str) -> None:
    stem = file_stem(groove.read_form("twelve-bar", title=title))
    assert re.fullmatch(r"[^\W_][\w-]*_C_112", stem)
    assert len(stem.encode()) <= 80 + len("_C_112")


@pytest.mark.parametrize(
    ("title", "name"),
    [
        ("Вечерний паром", "вечерний-паром"),
        ("Straße Øst", "strasse-øst"),
        ("Café à l'aube", "cafe-a-laube"),
        ("夜のバス", "夜のバス"),
        ("हिन्दी गीत", "हिन्दी-गीत"),
    ],
)
def test_a_title_in_any_script_keeps_its_letters(title: str, name: str) -> None:
    assert file_stem(groove.read_form("twelve-bar", title=title)) == f"{name}_C_112"


# All or nothing


def write(*targets: str, fail: Exception | None = None) -> None:
    with written_together([Path(target) for target in targets]) as staged:
        for path in staged:
            path.write_text("new")
        if fail:
            raise fail


def test_files_take_their_names_together_and_leave_no_other() -> None:
    write("new/folder/a", "new/folder/b")
    assert sorted(snapshot(Path())) == ["new", "new/folder", "new/folder/a", "new/folder/b"]


@pytest.mark.parametrize("fail", [OSError("x"), groove.GrooveError("x"), ValueError("x")])
def test_after_a_failure_no_new_folder_is_left(fail: Exception) -> None:
    with pytest.raises((groove.GrooveError, ValueError)):
        write("new/folder/a", fail=fail)
    assert snapshot(Path()) == {}


def test_after_a_failure_in_making_folders_none_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    mkdir = os.mkdir

    def refuse(path: str, *rest: int) -> None:
        if str(path).endswith("deepest"):
            raise OSError(28, "No space left on device")
        mkdir(path, *rest)

    monkeypatch.setattr(os, "mkdir", refuse)
    with pytest.raises(groove.GrooveError, match="No space"):
        write("new/folder/deepest/a")
    assert snapshot(Path()) == {}


def test_a_file_s_missing_part_names_the_path_that_the_user_knows() -> None:
    with (
        pytest.raises(groove.GrooveError) as caught,
        written_together([Path("out/a")]) as staged,
    ):
        raise groove.GrooveError(f"{staged[0]}: it went wrong")
    assert str(caught.value) == "out/a: it went wrong"


def test_stopped_after_the_files_have_their_names_it_says_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    remove = shutil.rmtree

    def stop(path: Path, **options: bool) -> None:
        remove(path, **options)
        raise KeyboardInterrupt

    monkeypatch.setattr(shutil, "rmtree", stop)
    with pytest.raises(groove.GrooveError, match="stopped; what was asked for is written"):
        write("a")
    assert Path("a").read_text() == "new"


def test_what_a_killed_run_left_goes_and_a_run_that_goes_on_keeps_its_own(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    dead = Path(".groove-work-dead")
    dead.mkdir()
    (dead / "a.wav").write_text("unfinished")
    with written_together([Path("b")]) as (staged,):
        staged.write_text("b")
        write("young")  # it may belong to a run that is only beginning
        assert dead.exists()
        monkeypatch.setattr("groove.files.SECONDS_TO_LOCK", -1)
        write("old")
        assert not dead.exists()
    assert sorted(snapshot(Path())) == ["b", "old", "young"]


def test_of_several_disks_the_full_one_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    free = {"large": 1000, "small": 0}
    monkeypatch.setattr(
        shutil, "disk_usage", lambda folder: SimpleNamespace(free=free[folder.name])
    )
    with pytest.raises(groove.GrooveError, match=r"^small/b: can't be written: No space"):
        write("large/a", "small/b", fail=OSError(28, "No space left on device"))


def test_files_of_several_folders_take_their_names_together() -> None:
    write("new/a", "new/deeper/a", "b")
    found = snapshot(Path())
    assert [name for name in found if found[name] == b"new"] == ["b", "new/a", "new/deeper/a"]


def test_after_a_failure_no_new_folder_of_several_is_left() -> None:
    with pytest.raises(groove.GrooveError):
        write("new/a", "new/deeper/a", "other/b", fail=groove.GrooveError("x"))
    assert snapshot(Path()) == {}


def test_if_a_file_of_another_folder_can_t_take_its_name_all_are_as_before(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    Path("a").write_text("old")
    replace = Path.replace

    def refuse(path: Path, target: Path) -> Path:
        if target.name == "b":
            raise PermissionError(1, "Operation not permitted", str(path))
        return replace(path, target)

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(groove.GrooveError, match=r"^new/b: can't be written: Operation"):
        write("a", "new/b")
    assert snapshot(Path()) == {"a": b"old"}


def test_where_the_track_can_t_take_its_name_no_plot_is_left(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    replace = Path.replace

    def refuse(path: Path, target: Path) -> Path:
        if target.suffix == ".mid":
            raise PermissionError(1, "Operation not permitted")
        return replace(path, target)

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(groove.GrooveError, match="not permitted"):
        groove.make("twelve-bar", "out", plot="plots/roll.svg")
    assert snapshot(Path()) == {}


@pytest.mark.parametrize("existing", [True, False])
def test_if_the_second_file_can_t_take_its_name_the_first_gives_its_own_back(
    existing: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    if existing:
        Path("a").write_text("old")
    replace = Path.replace

    def refuse(path: Path, target: Path) -> Path:
        if target.name == "b":
            raise PermissionError(1, "Operation not permitted")
        return replace(path, target)

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(groove.GrooveError, match="not permitted"):
        write("a", "b")
    assert snapshot(Path()) == ({"a": b"old"} if existing else {})


def test_a_result_that_is_a_link_is_replaced_and_what_it_pointed_to_is_left() -> None:
    Path("kept").write_text("old")
    Path("a").symlink_to("kept")
    write("a")
    assert snapshot(Path()) == {"a": b"new", "kept": b"old"}


def test_a_written_file_has_the_permissions_that_the_user_s_mask_gives() -> None:
    script = "umask 027; : > plain; exec python -c 'import groove; groove.make(\"twelve-bar\")'"
    path = f"{Path(sys.executable).parent}:{os.environ['PATH']}"
    subprocess.run(["sh", "-c", script], check=True, env=os.environ | {"PATH": path}, timeout=60)
    assert len({path.stat().st_mode for path in Path().iterdir()}) == 1


@pytest.mark.parametrize("job", [groove.make, groove.pack])
def test_an_option_s_old_name_is_an_error_that_names_the_new_one(
    job: Callable[..., object], tmp_path: Path
) -> None:
    with pytest.raises(groove.GrooveError, match="minus-one: is now called without-each"):
        job("twelve-bar", tmp_path / "out", audio="wav", minus_one=True)
    with pytest.raises(TypeError, match="no option 'stem'; did you mean stems"):
        job("twelve-bar", tmp_path / "out", stem=True)
    assert list(tmp_path.iterdir()) == []
