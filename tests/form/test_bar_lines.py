"""Chords between bar lines, as charts have them."""

from __future__ import annotations

import pytest

from groove.form.chordline import parse_chords


@pytest.mark.parametrize(
    ("lines", "lengths"),
    [
        ("I7 | IV7 | I7", "I7 IV7 I7"),
        ("| ii7 V7 | I7 |", "ii7:1/2 V7:1/2 I7"),
        ("I VI ii V | I", "I:1/4 VI:1/4 ii:1/4 V:1/4 I"),
        ("I7 | % | %", "I7 I7 I7"),
        ("ii7 V7 | %", "ii7:1/2 V7:1/2 ii7:1/2 V7:1/2"),
        ("I:1/2 IV:1/4 V:1/4 | I", "I:1/2 IV:1/4 V:1/4 I"),
        ("Am7 D7\n| G", "Am7:1/2 D7:1/2 G"),
    ],
)
def test_bar_lines_say_the_same_as_lengths(lines: str, lengths: str) -> None:
    assert parse_chords(lines) == parse_chords(lengths)
