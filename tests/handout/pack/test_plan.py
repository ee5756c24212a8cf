"""A pack knows each change of the program that makes its files."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from groove import library
from groove.handout.pack import plan

FILES = (
    *("cli.py", "theory/pitch.py", "band/drummer.py", "sound/mix/limiter.py", "lesson/guide.py"),
    *("handout/practice/web/sound/player.js", "handout/web.css", "handout/pack/page/credits.txt"),
)


@pytest.fixture
def program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the program, which takes its place."""
    copy = tmp_path / "groove"
    shutil.copytree(plan.PROGRAM, copy, ignore=shutil.ignore_patterns("__pycache__"))
    monkeypatch.setattr(plan, "PROGRAM", copy)
    return copy


def digest() -> str:
    """The digest as another run of the program finds it."""
    return plan.program_digest.__wrapped__()


def test_the_digest_of_the_program_changes_with_a_file_of_any_room(program: Path) -> None:
    seen = {digest()}
    for name in FILES:
        with (program / name).open("a") as file:
            file.write(" ")
        seen.add(digest())
    assert len(seen) == 1 + len(FILES)


def test_the_digest_of_the_program_changes_with_a_new_file_or_a_pattern(
    program: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen = {digest()}
    (program / "band" / "another.py").touch()
    seen.add(digest())
    patterns = tmp_path / "patterns"
    shutil.copytree(library.data_folder(), patterns)
    monkeypatch.setattr(library, "data_folder", lambda: patterns)
    assert digest() in seen
    rumba = patterns / "drums" / "rumba.toml"
    rumba.write_text(rumba.read_text("utf-8") + "\n", "utf-8")
    seen.add(digest())
    assert len(seen) == 3


def test_what_python_keeps_of_compiled_modules_is_no_change(program: Path) -> None:
    before = digest()
    (program / "band" / "__pycache__").mkdir()
    (program / "band" / "__pycache__" / "drummer.pyc").write_bytes(b"\0")
    assert digest() == before
