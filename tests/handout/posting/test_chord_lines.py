"""Rows of bars: they read back as the chords that they were written from."""

from __future__ import annotations

import pytest

import groove
from groove import library
from groove.handout.chart.written import write_chart
from groove.handout.posting.chord_lines import chord_rows
from groove.theory.keys import Key
from tests.form.road_material import example

UNEVEN = "| Cm7 / / F7 | ~Bb | NC | C* Dm7 / / | % | F7 | G7 | C |"


def rows_of(**fields: str) -> list[str]:
    form = groove.read_form("twelve-bar", turnaround=False, ending="hit", **fields)
    return chord_rows(write_chart(form))


def read_again(rows: list[str], key: str, choruses: int) -> list[object]:
    """The chords of the rows up to the ending, as the program reads them, with their lengths."""
    chorus = "\n".join(row for row in rows if "(to finish)" not in row)
    chorus = chorus.replace("|:", "|").replace(f":|x{choruses}", "|").replace(":|", "|")
    form = groove.read_form("twelve-bar", key=key, chords=chorus, turnaround=False)
    return spans(form)


def spans(form: groove.Form) -> list[object]:
    bars = [bar for line in write_chart(form).lines for bar in line if not bar.added]
    return [(str(chord.shown), chord.start, chord.length) for bar in bars for chord in bar.chords]


@pytest.mark.parametrize("name", library.names("forms"))
def test_rows_read_back_as_the_form(name: str) -> None:
    form = groove.read_form(name, ending="hit", turnaround=False)
    rows = chord_rows(write_chart(form))
    if len(form.sections) > 1:
        rows = [row.partition(": ")[2] if row[:1] != "|" else row for row in rows]
    key = form.key if form.key.mode == "major" else Key(form.key.tonic, "minor")
    assert read_again(rows, key.symbol, form.choruses) == spans(form)


def test_unequal_lengths_pushes_and_silence_read_back() -> None:
    rows = rows_of(key="C", chords=UNEVEN)
    form = groove.read_form("twelve-bar", key="C", chords=UNEVEN, turnaround=False)
    assert "Cm7 . . F7" in rows[0]
    assert read_again(rows, "C", 3) == spans(form)


def test_signs_of_a_road_stand_where_they_hold() -> None:
    rows = chord_rows(write_chart(example("latin-swing-aaba").form))
    assert rows[0] == "Intro: |: Gm7/C | C7sus4 | Gm7/C | C7sus4 :|"
    text = "\n".join(rows)
    for sign in ("(Segno)", "(To Coda)", "(D.S. al Coda", "(Coda)", "[1.]", "[2.]", ":|x3"):
        assert text.count(sign) == 1, sign


def test_changes_of_metre_stand_before_their_bar() -> None:
    text = "\n".join(chord_rows(write_chart(example("modal-vamp").form)))
    assert "| 3/4 Cm7 . F7 |" in text
    assert "| 4/4 B♭maj7 |" in text
