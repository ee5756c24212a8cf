"""Files take their final names all together, or none does."""

from __future__ import annotations

import os
import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest

from groove.errors import GrooveError
from groove.files import try_targets, workplace, written_together
from tests.command_line import snapshot


@pytest.fixture(autouse=True)
def _in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def write(*targets: str, fail: Exception | None = None) -> None:
    with written_together([Path(target) for target in targets]) as staged:
        for path in staged:
            path.write_text("new")
        if fail:
            raise fail


def test_a_trial_leaves_nothing_behind() -> None:
    Path("old").write_text("old")
    try_targets(["new/folder/a", Path("old")])
    assert snapshot(Path()) == {"old": b"old"}


@pytest.mark.parametrize(
    ("target", "fault"),
    [
        ("folder", r"^folder: a folder stands where the file should go"),
        ("file/a", r"^file: can't be written: it is a file; a folder is needed"),
        ("file/deeper/a", r"^file/deeper: can't be written: Not a directory"),
        ("a" * 300, r"^a{250}"),
    ],
)
def test_a_trial_names_the_place_that_can_t_be_written(target: str, fault: str) -> None:
    Path("folder").mkdir()
    Path("file").write_text("old")
    with pytest.raises(GrooveError, match=fault):
        try_targets(["fine/a", target])
    assert snapshot(Path()) == {"folder": None, "file": b"old"}


def test_files_that_were_there_before_are_named_once_all_are_written() -> None:
    said: list[str] = []
    Path("a").write_text("old")
    with pytest.raises(GrooveError), written_together([Path("a")], said.append):
        raise GrooveError("x")
    assert said == []
    with written_together([Path("a"), Path("b")], said.append) as staged:
        for path in staged:
            path.write_text("new")
        assert said == []
    assert said == ["note: a was there before and has been replaced"]


def test_files_take_their_names_together_and_leave_no_other() -> None:
    write("new/folder/a", "new/folder/b")
    assert sorted(snapshot(Path())) == ["new", "new/folder", "new/folder/a", "new/folder/b"]


@pytest.mark.parametrize("fail", [OSError("x"), GrooveError("x"), ValueError("x")])
def test_after_a_failure_no_new_folder_is_left(fail: Exception) -> None:
    with pytest.raises((GrooveError, ValueError)):
        write("new/folder/a", fail=fail)
    assert snapshot(Path()) == {}


def test_after_a_failure_in_making_folders_none_is_left(monkeypatch: pytest.MonkeyPatch) -> None:
    mkdir = os.mkdir

    def refuse(path: str, *rest: int) -> None:
        if str(path).endswith("deepest"):
            raise OSError(28, "No space left on device")
        mkdir(path, *rest)

    monkeypatch.setattr(os, "mkdir", refuse)
    with pytest.raises(GrooveError, match="No space"):
        write("new/folder/deepest/a")
    assert snapshot(Path()) == {}


def test_a_file_s_missing_part_names_the_path_that_the_user_knows() -> None:
    with (
        pytest.raises(GrooveError) as caught,
        written_together([Path("out/a")]) as staged,
    ):
        raise GrooveError(f"{staged[0]}: it went wrong")
    assert str(caught.value) == "out/a: it went wrong"


def test_stopped_after_the_files_have_their_names_it_says_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    remove = shutil.rmtree

    def stop(path: Path, **options: bool) -> None:
        remove(path, **options)
        raise KeyboardInterrupt

    monkeypatch.setattr(shutil, "rmtree", stop)
    with pytest.raises(GrooveError, match="stopped; what was asked for is written"):
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
    with pytest.raises(GrooveError, match=r"^small/b: can't be written: No space"):
        write("large/a", "small/b", fail=OSError(28, "No space left on device"))


def test_files_of_several_folders_take_their_names_together() -> None:
    write("new/a", "new/deeper/a", "b")
    found = snapshot(Path())
    assert [name for name in found if found[name] == b"new"] == ["b", "new/a", "new/deeper/a"]


def test_after_a_failure_no_new_folder_of_several_is_left() -> None:
    with pytest.raises(GrooveError):
        write("new/a", "new/deeper/a", "other/b", fail=GrooveError("x"))
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
    with pytest.raises(GrooveError, match=r"^new/b: can't be written: Operation"):
        write("a", "new/b")
    assert snapshot(Path()) == {"a": b"old"}


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
    with pytest.raises(GrooveError, match="not permitted"):
        write("a", "b")
    assert snapshot(Path()) == ({"a": b"old"} if existing else {})


def test_a_result_that_is_a_link_is_replaced_and_what_it_pointed_to_is_left() -> None:
    Path("kept").write_text("old")
    Path("a").symlink_to("kept")
    write("a")
    assert snapshot(Path()) == {"a": b"new", "kept": b"old"}


def test_workplace_and_the_folders_made_for_it_are_removed(tmp_path: Path) -> None:
    with workplace(tmp_path / "a" / "b") as place:
        (place / "x").write_text("x")
        assert place.parent == tmp_path / "a" / "b"
    assert list(tmp_path.iterdir()) == []


def test_folder_of_a_workplace_stays_where_something_was_put_into_it(tmp_path: Path) -> None:
    with workplace(tmp_path / "a") as place:
        (place / "x").write_text("x")
        (place / "x").rename(tmp_path / "a" / "x")
    assert [path.name for path in (tmp_path / "a").iterdir()] == ["x"]
