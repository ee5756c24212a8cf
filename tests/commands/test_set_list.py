"""`groove set` on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.command_line import call
from tests.handout.set_list.set_material import FRIDAY, set_file


@pytest.fixture(autouse=True)
def _in_a_folder_with_a_set(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    set_file(tmp_path)


def test_set_writes_books_and_tracks_and_prints_their_paths() -> None:
    result = call("set", "friday.toml", "--for", "Eb", "--title", "Late Set")
    assert result.code == 0, result.err
    assert result.out.splitlines() == [
        "late-set/late-set.pdf",
        "late-set/late-set_Eb.pdf",
        "late-set/tracks/01_ferry-landing_F_120.mid",
        "late-set/tracks/02_twelve-bar-blues_C_112.mid",
        "late-set/tracks/03_ferry-again_F_90.mid",
    ]


def test_check_lists_the_tunes_and_writes_nothing() -> None:
    before = sorted(Path().rglob("*"))
    result = call("set", "friday.toml", "--check")
    assert [line[:17] for line in result.out.splitlines()] == [
        " 1 Ferry Landing:", " 2 Twelve-bar blu", " 3 Ferry Again: 4",
    ]  # fmt: skip
    assert sorted(Path().rglob("*")) == before


def test_check_says_all_that_is_wrong() -> None:
    text = FRIDAY.replace('key = "C"', 'key = "H"').replace("tempo = 90", "tempo = 9")
    Path("friday.toml").write_text(text, "utf-8")
    result = call("set", "friday.toml", "--check")
    assert result.code == 1
    assert [line.split(": ")[1] for line in result.err.splitlines()] == [
        "friday.toml, line 10, key", "friday.toml, line 15, tempo",
    ]  # fmt: skip


def test_option_that_one_tune_can_not_have_names_the_tune() -> None:
    result = call("set", "friday.toml", "--quick-change")
    assert result.code == 1
    assert result.err.startswith("groove: friday.toml, line 6, --quick-change: needs the tonic")
    assert result.err.endswith(" (and 1 more: groove set --check lists all)\n")


@pytest.mark.parametrize("command", ["check", "make", "chart"])
def test_other_commands_name_this_one_for_a_set(command: str) -> None:
    result = call(command, "friday.toml")
    assert result.code == 1
    assert "friday.toml: a set list; groove set friday.toml makes" in result.err


@pytest.mark.parametrize(
    ("asked", "code", "said"),
    [
        (("friday.toml", "--tempo", "9"), 2, "groove: --tempo: found '9'"),
        (("friday.toml", "--for", "drms"), 2, "groove: --for: found 'drms'; did you mean drums?"),
        (("none.toml",), 1, "groove: none.toml: can't be read"),
        (("ferry.toml",), 1, "groove: ferry.toml: no tunes; it is a form; groove make ferry.toml"),
    ],
)
def test_errors_are_one_line(asked: tuple[str, ...], code: int, said: str) -> None:
    result = call("set", *asked)
    assert (result.code, len(result.err.splitlines())) == (code, 1)
    assert result.err.startswith(said)
