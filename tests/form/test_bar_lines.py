"""Chords between bar lines, as charts have them."""

from __future__ import annotations

import contextlib
from fractions import Fraction

import pytest

from groove.form.chordline import parse_chords, timed
from groove.rhythm.meter import METERS


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
    assert timed(parse_chords(lines), METERS["4/4"]) == parse_chords(lengths)


@pytest.mark.parametrize(
    ("lines", "lengths"),
    [
        ("| C | F |\n| G7 | C |", "C F G7 C"),
        ("| C || F | C |", "C F C"),
        ("| C | | F |", "C C F"),
        ("| C | F | %% |", "C F C F"),
        ("| C / / F |", "C:3/4 F:1/4"),
        ("| C . F . |", "C:1/2 F:1/2"),
        ("|: C | F :| G |", "C F C F G"),
        ("|: C F :|x3 G |", "C:1/2 F:1/2 C:1/2 F:1/2 C:1/2 F:1/2 G"),
        ("C | F :|", "C F C F"),
        ("| C | NC | N.C. |", "C NC NC"),
        ("| Cm7 F7:1/4 |", "Cm7:3/4 F7:1/4"),
        ("| C* | ~F |", "C* ~F"),
    ],
)
def test_a_pasted_chart_says_the_same_as_lengths(lines: str, lengths: str) -> None:
    """Rows, double bar lines, beats that go on, and repeats, as charts have them (common
    practice)."""
    assert timed(parse_chords(lines), METERS["4/4"]) == parse_chords(lengths)


@pytest.mark.parametrize(
    ("meter", "bar", "shares"),
    [
        ("3/4", "C F G", "1/3 1/3 1/3"),
        ("3/4", "C F", "1/2 1/2"),
        ("3/4", "C / G", "2/3 1/3"),
        ("5/4", "C F", "3/5 2/5"),
        ("5/4", "C F G A D", "1/5 1/5 1/5 1/5 1/5"),
        ("7/8", "C F G", "2/7 2/7 3/7"),
        ("7/8", "C F", "4/7 3/7"),
        ("6/8", "C F", "1/2 1/2"),
        ("12/8", "C F G A", "1/4 1/4 1/4 1/4"),
        ("2/4", "C F", "1/2 1/2"),
    ],
)
def test_chords_share_a_bar_by_its_beats_or_its_groups(meter: str, bar: str, shares: str) -> None:
    spans = timed(parse_chords(f"| {bar} |"), METERS[meter])
    assert [span.bars for span in spans] == [Fraction(share) for share in shares.split()]


@pytest.mark.parametrize(("meter", "allowed"), [("12/8", True), ("4/4", False)])
def test_thirds_of_a_beat_are_for_beats_of_three(meter: str, allowed: bool) -> None:
    spans = parse_chords("C:1/12 F:11/12")
    with contextlib.nullcontext() if allowed else pytest.raises(ValueError, match="off the beats"):
        timed(spans, METERS[meter])
