"""Bars that are played otherwise than they are written, as the screen's chart shows them."""

from __future__ import annotations

from pathlib import Path

import pytest

from groove.screen.open_form import OpenForm
from groove.screen.sections import state_of

BLUES = '| I7 | % | % | % | IV7 | % | I7 | % | V7 | IV7 | I7 | % |"\n'


@pytest.mark.parametrize(
    ("fields", "played"),
    [
        ("", {}),
        ("quick_change = true\n", {1: "D7"}),
        ("turnaround = true\n", {11: "E7"}),
        ('turnaround = "VI7 V7"\nquick_change = true\n', {1: "D7", 10: "F♯7", 11: "E7"}),
    ],
)
def test_a_bar_says_what_is_played_in_its_place(
    tmp_path: Path, fields: str, played: dict[int, str]
) -> None:
    form = OpenForm.at(tmp_path / "ferry.toml", f'key = "A"\n{fields}chords = "{BLUES}')
    (section,) = state_of(form)["sections"]
    found = {n: bar["played"] for n, bar in enumerate(section["bars"]) if "played" in bar}
    assert found == played


def test_in_an_order_the_last_section_of_the_line_has_the_turnaround(tmp_path: Path) -> None:
    text = 'key = "C"\nturnaround = true\norder = ["A, B", "B"]\n'
    sections = "".join(f'[[sections]]\nname = "{n}"\nchords = "I:4"\n' for n in "AB")
    state = state_of(OpenForm.at(tmp_path / "ferry.toml", text + sections))
    assert state["mistakes"] == []
    assert [["played" in bar for bar in each["bars"]] for each in state["sections"]] == [
        [False] * 4, [False, False, False, True],
    ]  # fmt: skip


def test_endings_and_sections_of_one_name_have_no_such_word(tmp_path: Path) -> None:
    ending = '[[sections]]\nname = "A"\nchords = "I:3"\ntime_bars = ["| V7 |", "| I |"]\n'
    state = state_of(OpenForm.at(tmp_path / "one.toml", f"turnaround = true\n{ending}"))
    assert state["mistakes"] == []
    assert not any("played" in bar for bar in state["sections"][0]["bars"])
    two = '[[sections]]\nname = "A"\nchords = "I:2"\n[[sections]]\nname = "A"\nchords = "I:4"\n'
    state = state_of(OpenForm.at(tmp_path / "two.toml", f"turnaround = true\n{two}"))
    assert state["mistakes"] == []
    assert not any("played" in bar for each in state["sections"] for bar in each["bars"])


def test_an_empty_form_has_nothing_left_of_what_stood_there(tmp_path: Path) -> None:
    form = OpenForm.at(tmp_path / "ferry.toml", 'key = "C"\n')
    form.edit(lambda text: text + 'chords = "I7"\n', form.version)
    assert form.form
    form.undo(form.version)
    assert form.form is None
    assert "facts" not in state_of(form)
