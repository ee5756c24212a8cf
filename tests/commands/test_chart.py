"""The chart command: its output, its files and its errors."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from groove.handout import CHARTS
from tests.command_line import call, snapshot


def test_chart_goes_to_the_terminal_by_default() -> None:
    result = call("chart", "twelve-bar", "--key", "G")
    assert result.code == 0
    assert "G blues" in result.out


def test_fields_and_reader_change_the_chart() -> None:
    result = call("chart", "twelve-bar", "--key", "C", "--for", "Eb")
    assert "A blues" in result.out
    assert "for E♭ instruments" in result.out


def test_several_files_in_one_run(tmp_path: Path) -> None:
    names = [str(tmp_path / f"chart{kind}") for kind in CHARTS]
    result = call("chart", "twelve-bar", *(word for name in names for word in ("-o", name)))
    assert result.out.split() == names
    assert all(Path(name).stat().st_size > 1000 for name in names)


def test_long_chart_is_several_svg_files(tmp_path: Path) -> None:
    result = call(
        "chart", "twelve-bar", "--chords", "I7:200", "--choruses", "1",
        "-o", str(tmp_path / "long.svg"),
    )  # fmt: skip
    names = [Path(line).name for line in result.out.splitlines()]
    assert names[:2] == ["long-1.svg", "long-2.svg"]
    for name in names:
        ET.parse(tmp_path / name)


@pytest.mark.parametrize(
    "arguments",
    [("-o", "chart.doc"), ("--for", "kazoo"), ("--paper", "a9"), ("-o", "chart")],
)
def test_wrong_options_are_bad_usage_in_one_line(
    arguments: tuple[str, ...], tmp_path: Path
) -> None:
    result = call("chart", "twelve-bar", *arguments)
    assert result.code == 2
    assert len(result.err.splitlines()) == 1


def test_nothing_is_written_where_one_file_can_not_be(tmp_path: Path) -> None:
    before = snapshot(tmp_path)
    (tmp_path / "no").touch()
    result = call(
        "chart", "twelve-bar", "-o", str(tmp_path / "a.svg"), "-o", str(tmp_path / "no" / "b.pdf")
    )
    (tmp_path / "no").unlink()
    assert result.code == 1
    assert snapshot(tmp_path) == before


@pytest.mark.parametrize("command", ["chart", "sheet"])
def test_file_that_was_there_before_is_named(command: str, tmp_path: Path) -> None:
    old, new = tmp_path / "old.pdf", tmp_path / "new.pdf"
    old.write_text("old")
    result = call(command, "twelve-bar", "-o", str(old), "-o", str(new))
    assert result.err.splitlines() == [f"note: {old} was there before and has been replaced"]
