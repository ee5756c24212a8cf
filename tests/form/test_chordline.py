"""The notation of chords in a form. Source: common practice."""

import contextlib
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.form.chordline import parse_chords


@pytest.mark.parametrize(
    ("text", "bars"),
    [
        ("I7:4 IV7:2", [4, 2]), ("I7", [1]), ("ii7:1/2 V7:1/2", ["1/2", "1/2"]),
        ("I:.25 IV:0.75", ["1/4", "3/4"]),
        ("I:3/2 V:1/2", ["3/2", "1/2"]), ("I:2.5 V:.5", [2.5, 0.5]),
        ("A7:1000", [1000]), ("  I \n\t V ", [1, 1]),
    ],
)  # fmt: skip
def test_bars_are(text: str, bars: list[str | float]) -> None:
    assert [span.bars for span in parse_chords(text)] == [Fraction(b) for b in bars]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "no chords"), (" \n", "no chords"), ("% | I7", "bar 1: nothing before it"),
        ("I7 | %%", "bar 2: nothing before it"), ("NC | NC", "a form needs a chord"),
        ("/ / I7 |", "bar 1: '/' holds a chord"), ("[I7 | V7 ]", "brackets are not read"),
        ("|: I7:4 | V7 :|x900", "do not fill one bar"), ("|: I7 | V7 :|x900", "1,000 bars"),
        ("|: I7 :|x600 " * 2, "1,000 bars"),
        ("I7:1/29 V7:28/29", "lasts 1/29 bars"), ("I7:0", "lasts 0 bars"),
        ("I7:1/0", "is no number of bars"), ("I7:-1", "is no number of bars"),
        ("I7:", "'' is no number of bars"), (":4", "no chord before the colon"),
        ("I7:1/2", "fill 1/2 bars; they must fill whole bars"), ("I7 V7:1/4", "fill 1 1/4 bars"),
        ("I7:1001", "at most 1,000"), ("I7:999 V7:2", "at most 1,000"),
        ("I7 A7", "numerals (I7) and absolute symbols (A7) are mixed"),
        ("I7 Q7", "chord 2 of 2: chord 'Q7'"), ("I7 IVx", "chord 2 of 2: numeral 'IVx'"),
        ("I7:4:4", "is no number of bars"), ("I7:1e3", "is no number of bars"),
    ],
)  # fmt: skip
def test_fault_is_named(text: str, says: str) -> None:
    with pytest.raises(ValueError) as error:  # noqa: PT011
        parse_chords(text)
    assert says in str(error.value)


@given(st.text(max_size=30) | st.text("IViA7m:/.0123 \n|#b", max_size=30))
def test_parsing_raises_only_value_error(text: str) -> None:
    with contextlib.suppress(ValueError):
        parse_chords(text)
