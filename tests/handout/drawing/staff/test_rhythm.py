"""Rhythms as notes and rests: values, ties, triplets and beams, by common engraving practice."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.handout.drawing.staff.rhythm import Stroke, beamed, notes
from groove.rhythm.meter import METERS, Meter


def strokes(text: str, meter: Meter) -> list[Stroke]:
    """Strokes from box notation: x short, X an accent, - holds."""
    unit, found = meter.bar_ticks // len(text), []
    for place, sign in enumerate(text):
        if sign in "xX":
            found.append(Stroke(place * unit, unit, sign == "X"))
        elif sign == "-":
            last = found.pop()
            found.append(Stroke(last.start, last.length + unit, last.accent))
    return found


def words(text: str, meter: str = "4/4") -> str:
    """The notes of a rhythm in words: rests in brackets, ``~`` for a tie."""
    said = []
    for note in notes(strokes(text, METERS[meter]), METERS[meter]):
        name, dots = note.value
        word = name + "." * dots + "3" * note.triplet
        said.append(f"({word})" if note.rest else word + "~" * note.ties)
    return " ".join(said)


@pytest.mark.parametrize(
    ("text", "meter", "written"),
    [
        ("x..x..x.", "4/4", "eighth (eighth) (eighth) eighth (quarter) eighth (eighth)"),
        ("X...", "4/4", "quarter (quarter) (half)"),
        ("....", "4/4", "(whole)"),
        ("...", "3/4", "(whole)"),
        ("x--x----", "4/4", "quarter. eighth~ half"),
        (".x------", "4/4", "(eighth) eighth~ half."),
        ("x-------", "4/4", "whole"),
        ("x..", "3/4", "quarter (quarter) (quarter)"),
        ("x.......", "2/2", "eighth (eighth) (quarter) (half)"),
        ("x....x", "6/8", "eighth (quarter) (quarter) eighth"),
        ("x..x..x", "7/8", "eighth (eighth) (eighth) eighth (quarter) eighth"),
        ("x.xx--...xxx", "4/4",
         "eighth3 (eighth3) eighth3 quarter (quarter) eighth3 eighth3 eighth3"),
    ],
)  # fmt: skip
def test_rhythm_is_written_as_engravers_write_it(text: str, meter: str, written: str) -> None:
    assert words(text, meter) == written


@given(st.sampled_from(list(METERS.values())), st.data())
def test_notes_and_rests_fill_the_bar_and_sound_where_the_strokes_do(
    meter: Meter, data: st.DataObject
) -> None:
    per_beat = data.draw(st.sampled_from([1, 2, 4] if not meter.is_compound else [1, 2]))
    size = meter.numerator * (1 if meter.denominator == 8 else per_beat)
    text = "".join(data.draw(st.lists(st.sampled_from("x.X"), min_size=size, max_size=size)))
    given_ = strokes(text, meter)
    written = notes(given_, meter)
    at = 0
    for note in written:
        assert note.start == at
        at = note.end
    assert at == meter.bar_ticks
    struck = [(note.start, note.accent) for note in written if not note.rest and not note.tied]
    assert struck == [(stroke.start, stroke.accent) for stroke in given_]


def test_eighths_of_a_beat_are_beamed_and_those_of_two_beats_are_not() -> None:
    meter = METERS["4/4"]
    groups = beamed(notes(strokes("xxxx.xx.", meter), meter), meter)
    assert [[note.start // 480 for note in group] for group in groups] == [[0, 1], [2, 3], [5], [6]]


def test_strokes_alone_have_no_rests_around_them() -> None:
    (note,) = notes([Stroke(3360, 480, ties=True)], METERS["4/4"], rests=False)
    assert (note.start, note.value, note.ties) == (3360, ("eighth", 0), True)


@given(st.sampled_from(list(METERS.values())), st.data())
def test_any_lengths_are_written_as_full_bars(meter: Meter, data: st.DataObject) -> None:
    places = st.integers(0, meter.bar_ticks // 40)
    edges = sorted(data.draw(st.sets(places, max_size=12)))
    given_ = [Stroke(a * 40, (b - a) * 40) for a, b in pairwise(edges)][::2]
    at = 0
    for note in notes(given_, meter):
        assert note.start == at
        assert note.whole_bar or note.value
        at = note.end
    assert at == meter.bar_ticks
