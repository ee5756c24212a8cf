"""The chart in the terminal."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from groove.form.model import Form
from groove.form.read import read_form
from groove.handout.chart.text import WIDTH, chart_text
from groove.handout.chart.written import write_chart
from tests.examples import examples
from tests.handout.chart.chart_material import FORMS, form, forms, shipped
from tests.handout.chart.marked_material import marked_chart


@pytest.mark.parametrize("numerals", [False, True])
@pytest.mark.parametrize("name", FORMS)
def test_chart_fits_80_columns(name: str, numerals: bool) -> None:
    text = chart_text(write_chart(shipped(name)), numerals=numerals)
    assert max(len(row) for row in text.splitlines()) <= WIDTH


@given(forms())
@settings(max_examples=examples(40))
def test_any_chart_fits_80_columns(made: Form) -> None:
    rows = chart_text(write_chart(made), numerals=True).splitlines()
    assert max(len(row) for row in rows) <= WIDTH


def bar_lines(row: str) -> list[int]:
    return [column for column, sign in enumerate(row) if sign in "|‖"]


@pytest.mark.parametrize("name", FORMS)
def test_bar_lines_stand_under_each_other(name: str) -> None:
    rows = [
        row for row in chart_text(write_chart(shipped(name))).splitlines() if row[:1] in ("|", "‖")
    ]
    full = max((bar_lines(row) for row in rows), key=len)
    assert all(bar_lines(row) == full[: len(bar_lines(row))] for row in rows)


def test_chords_stand_on_their_beats() -> None:
    text = chart_text(write_chart(form(chords="I7:1/2 vi7:1/2 ii7 V7:1/4 I7:3/4 I7")))
    row = next(row for row in text.splitlines() if row.startswith("‖:"))
    assert (row.index("C7"), row.index("Am7")) == (2, 2 + 16 // 2)


def test_head_names_key_metre_tempo_and_feel() -> None:
    head = chart_text(write_chart(shipped("twelve-bar", key="Bb", tempo=96))).splitlines()[:2]
    assert head == ["Twelve-bar blues", "B♭ blues · 4/4 · ♩ = 96 · Medium shuffle"]


@pytest.mark.parametrize("choruses", [3, 12])
def test_long_section_name_is_cut_where_the_next_label_begins(choruses: int) -> None:
    """Found: a name of 35 letters over three bars, and what ends the piece in the fourth."""
    section = {"name": "A very long way round to the bridge", "chords": "I7:2 V7"}
    made = form(sections=[section], choruses=choruses, ending="ring")
    rows = chart_text(write_chart(made), numerals=True).splitlines()
    assert max(len(row) for row in rows) <= WIDTH
    assert any(row.endswith("to finish (let it ring)") for row in rows)


@pytest.mark.parametrize("choruses", [2, 12, 25])
def test_words_on_changing_choruses_keep_to_80_columns(choruses: int) -> None:
    made = shipped(
        "minor-twelve-bar", key="F#m", tempo=60, tempo_step=2.5, key_cycle="up",
        choruses=choruses, turnaround=True,
    )  # fmt: skip
    chart = write_chart(made)
    rows = chart_text(chart).splitlines()
    assert max(map(len, rows)) <= 80
    assert " ".join(chart.course) in " ".join(rows)


@pytest.mark.parametrize("chords", ["ii7 V7 Imaj7:2", "iiø7:1/2 V7b9b13:1/2 im(maj7)/5:1/2 I:1/2"])
def test_short_form_has_a_row_for_each_key_of_a_cycle(chords: str) -> None:
    rows = chart_text(write_chart(form(chords=chords, choruses=12, key_cycle="up"))).splitlines()
    assert max(map(len, rows)) <= WIDTH
    under = rows[rows.index("In the keys that follow:") + 1 :]
    assert [row.split()[0] for row in under if row[0] != " "] == [
        "D♭",
        "D",
        "E♭",
        "E",
        "F",
        "F♯",
        "G",
        "A♭",
        "A",
        "B♭",
        "B",
    ]


@pytest.mark.parametrize(
    "row",
    [
        "Intro 4 times, head, solos 3 times, D.S. al Coda, seven, slow.",
        "drums and bass, second time all",
        "  p <                                    <",
        "  pedal C ------------------------------ --------------------------------------",
        "  (Segno) [A]",
        "  1. Down where the ropes are wet and the tide comes in",
        "                                         To Coda",
        "| Am7                                  | ~D7♭9                                |",
        "                                         kick x..x ..x.",
        "  [B] Bridge",
        "Swing",
        "  stop X. ..                             stop X..X ....",
        " " * 66 + "D.S. al Coda",
        "eighth = eighth, ♩ = 132, G major",
        "| 7/8  Dm9                             | G13/D                                |",
        "  rit. --------------------------------- --------------------------------------",
    ],
)
def test_marks_of_an_arrangement_stand_over_and_under_their_bars(row: str) -> None:
    rows = chart_text(marked_chart()).splitlines()
    assert row in rows
    assert max(map(len, rows)) <= WIDTH


def test_slash_in_a_numeral_is_explained_where_numerals_stand() -> None:
    chart = write_chart(read_form("twelve-bar", key="C", chords="I V/3 vi IV", turnaround=False))
    words = " ".join(chart_text(chart, numerals=True).split())
    assert "V/3 is V over its third." in words
    assert "over its third" not in chart_text(chart)
    plain = write_chart(read_form("twelve-bar", key="C"))
    assert "slash" not in chart_text(plain, numerals=True)
