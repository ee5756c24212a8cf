"""`groove pack` on the command line: its errors, and its question before much work."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command_line import call


@pytest.fixture(autouse=True)
def _in_an_empty_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


MANY = ",".join(str(tempo) for tempo in range(60, 140, 2))


def test_a_huge_request_says_how_much_it_takes_and_begins_only_with_yes() -> None:
    asked = ("--keys", "C,F", "--tempos", MANY, "--stems", "--without-each")
    result = call("pack", "twelve-bar", *asked, "-o", "pack")
    assert result.code == 1
    said = result.err.splitlines()
    assert said[-1].startswith("groove: that is a lot; nothing was begun; --yes")
    assert "729 files to make, about " in said[-2]
    assert " GB for the zip; about " in said[-2]
    assert "on 2 cores" in said[-2] or " core" in said[-2]
    assert list(Path().iterdir()) == []


@pytest.mark.parametrize(
    ("asked", "code", "said"),
    [
        (("--keys", "H"), 2, "keys: 'H' is no key; German H is B here"),
        (("--keys", ""), 2, "keys: found none"),
        (("--tempos", "20"), 2, "tempos: found '20'; 30 to 320"),
        (("--tempos", "80,fast"), 2, "tempos: found 'fast', which is no number"),
        (("--audio", "mp4"), 2, "did you mean mp3?"),
        (("--audio", "none", "--stems"), 2, "--stems: needs audio"),
        (("--soundfont", "none.sf2"), 1, "none.sf2"),
        (("-o", "file"), 1, "file: a file stands where the pack's folder should go"),
        (("-o", "file/in"), 1, "Not a directory"),
    ],
)
def test_bad_input_is_one_line_and_nothing_is_written(
    asked: tuple[str, ...], code: int, said: str
) -> None:
    Path("file").write_text("mine")
    result = call("pack", "twelve-bar", "--keys", "C", *asked)
    assert result.code == code, result.err
    assert said in result.err.splitlines()[-1]
    assert "Traceback" not in result.err
    assert [path.name for path in Path().iterdir()] == ["file"]


def test_a_form_that_is_not_there_is_told_before_anything_else() -> None:
    result = call("pack", "twelve-bars")
    assert (result.code, result.out) == (2, "")
    assert "did you mean twelve-bar?" in result.err
