"""The notation of chords in a form. Source: common practice."""

import contextlib
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.form.chordline import parse_chords, timed
from groove.rhythm.meter import METERS, Meter


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
        ("/ / I7 |", "bar 1: '/' holds a chord"), ("[A] I7 | V7", "'[A]': no such brackets; names"),
        ("| I7 |[1. V7 |", "bar 2: chord 1 of 2: '[1.': endings are written as time_bars"),
        ("| I7 | (V7) |", "bar 2: chord 1 of 1: '(V7)': a chord in brackets is played or not"),
        ("| I7 | (ii7 V7) |", "a chord in brackets"), ("I - IV", "'-': spaces alone stand between"),
        ("| I7 | D.C. |", "'D.C.': the way through the sections is written in order"),
        ("| C | N |", "'N': write NC where no chord sounds"),
        ("| C F | 2/4 % |", "bar 2: '%' after 2/4 has not one chord to repeat"),
        ("|: I7:4 | V7 :|x900", "do not fill one bar"), ("|: I7 | V7 :|x900", "1,000 bars"),
        ("|: I7 :|x600 " * 2, "1,000 bars"),
        ("I7:1/29 V7:28/29", "lasts 1/29 bars"), ("I7:0", "lasts 0 bars"),
        ("I7:1/0", "is no number of bars"), ("I7:-1", "is no number of bars"),
        ("I7:", "'' is no number of bars"), (":4", "no chord before the colon"),
        ("I7:1/2", "fill 1/2 bars; they must fill whole bars"), ("I7 V7:1/4", "fill 1 1/4 bars"),
        ("I7:1001", "at most 1,000"), ("I7:999 V7:2", "at most 1,000"),
        ("I7 A7", "numerals (I7) and absolute symbols (A7) are mixed"),
        ("I7 Q7", "chord 2 of 2: chord 'Q7'"), ("I7 IVx", "chord 2 of 2: numeral 'IVx'"),
        ("2/4 V I", "the metre 2/4 stands first in a bar between bar lines"),
        ("| I | V 2/4 |", "bar 2: chord 2 of 2: the metre 2/4 stands first in a bar"),
        ("| I | 2/4 |", "bar 2: the metre 2/4 stands alone; write the bar's chords after it"),
        ("| 7/16 I |", "bar 1: metre '7/16': there are: 4/4"),
        ("| 3/3/8 I |", "bar 1: chord 1 of 2"),
        ("| I | 5/8+1 V |", "bar 2: chord 1 of 2"),
        ("I7:4:4", "is no number of bars"), ("I7:1e3", "is no number of bars"),
    ],
)  # fmt: skip
def test_fault_is_named(text: str, says: str) -> None:
    with pytest.raises(ValueError) as error:  # noqa: PT011
        parse_chords(text)
    assert says in str(error.value)


def places(text: str, meter: str) -> list[tuple[str, Fraction, str]]:
    """The chords with the quarters that each lasts, and the metre that stands at each."""
    now, left, found = METERS[meter], Fraction(0), []
    for span in timed(parse_chords(text), METERS[meter]):
        if left == 0:
            now, left = span.meter or METERS[meter], Fraction(1)
        quarters = span.bars * now.bar_ticks / 960
        found.append((str(span.written), quarters, span.meter.full_name if span.meter else ""))
        left -= span.bars
    return found


def test_metre_first_in_a_bar_holds_for_that_bar() -> None:
    chords = "| Dm9 | 2/4 G7 | C6 Am7 | 3/4 Cm7 F7:1/3 | % | 5/4 Bb6 / Eb7 / / | Dm7 G7 |"
    assert places(chords, "4/4") == [
        ("Dm9", 4, ""), ("G7", 2, "2/4"), ("C6", 2, ""), ("Am7", 2, ""),
        ("Cm7", 2, "3/4"), ("F7", 1, ""), ("Cm7", 2, "3/4"), ("F7", 1, ""),
        ("Bb6", 2, "5/4"), ("Eb7", 3, ""), ("Dm7", 2, ""), ("G7", 2, ""),
    ]  # fmt: skip


def test_chords_share_a_bar_by_its_own_groups() -> None:
    assert places("| C | 3+2+2/8 Am F G | 7/8 Am F G | 3/4 C G |", "4/4")[1:7] == [
        ("Am", 1.5, "3+2+2/8"), ("F", 1, ""), ("G", 1, ""),
        ("Am", 1, "7/8"), ("F", 1, ""), ("G", 1.5, ""),
    ]  # fmt: skip
    assert parse_chords("| 3+2+2/8 Am |")[0].meter == Meter.parse("3+2+2/8")


def lengths(text: str) -> list[str]:
    """The chords with their lengths in bars: Dm7 G7:1/2."""
    spans = parse_chords(text)
    return [f"{s.written or 'NC'}" + (f":{s.bars}" if s.bars != 1 else "") for s in spans]


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("| C | / / G7 / |", "C C:1/2 G7:1/2"), ("| C | / / / / |", "C C"),
        ("| C | . G7 . . |", "C C:1/4 G7:3/4"), ("||: C | G7 :||", "C G7 C G7"),
        ("|: C | G7 :| x3", "C G7 C G7 C G7"), ("|: C | G7 :|(x3)", "C G7 C G7 C G7"),
        ("|: C :| 3x | F |]", "C C C F"), ("[| C | F |]", "C F"),
        ("| C7(b9, #11) | C7 (b9) |", "C7b9#11 C7b9"), ("| C | 2/4 % |", "C C"),
        ("| N.C. | C | NC. |", "NC C NC"),
    ],
)  # fmt: skip
def test_pasted_chart_is_read(text: str, read: str) -> None:
    assert lengths(text) == read.split()


def test_chord_that_goes_on_over_the_bar_line_is_not_pushed_again() -> None:
    assert [span.push for span in parse_chords("| C ~F* | / / G7 / |")] == [
        False,
        True,
        *[False] * 2,
    ]
    assert [span.root_only for span in parse_chords("| C ~F* | / / G7 / |")][1:3] == [True, True]


@pytest.mark.parametrize(
    ("meter", "place"), [("4/4", "1/16"), ("7/4", "1/28"), ("6/8", "1/12"), ("12/8", "1/24")]
)
def test_chord_may_begin_on_a_half_of_a_half_beat(meter: str, place: str) -> None:
    text = f"| C:{place} F:{1 - Fraction(place)} |"
    assert next(s.bars for s in timed(parse_chords(text), METERS[meter])) == Fraction(place)


def test_third_of_a_beat_that_has_two_halves_is_refused() -> None:
    with pytest.raises(ValueError, match="off the beats of 4/4"):
        timed(parse_chords("| C:1/12 F:11/12 |"), METERS["4/4"])


def test_place_off_the_beats_of_a_bar_of_its_own_metre_is_refused() -> None:
    with pytest.raises(ValueError, match=r"bar 2: .* off the beats of 2/4"):
        timed(parse_chords("| C | 2/4 C F G |"), METERS["12/8"])


@given(st.text(max_size=30) | st.text("IViA7m:/.0123 \n|#b", max_size=30))
def test_parsing_raises_only_value_error(text: str) -> None:
    with contextlib.suppress(ValueError):
        parse_chords(text)
