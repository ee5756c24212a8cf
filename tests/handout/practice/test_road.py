"""The road of an arrangement in the page's data agrees with the chart and the take."""

from __future__ import annotations

from bisect import bisect_right
from functools import cache
from itertools import accumulate, pairwise
from typing import Any

import pytest

from groove.form.choruses import in_key
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.handout.practice.data import page_data
from groove.handout.practice.road import on_a_road
from groove.theory.keys import twelve_keys
from groove.track import compile_take
from tests.form.road_material import arranged
from tests.handout.practice.page_material import ARRANGEMENT, notes_of

FORM = arranged(**ARRANGEMENT)
CHART = unroll(FORM)
BARS = [bar for bar in CHART.bars if bar.number]


@cache
def data() -> dict[str, Any]:
    return page_data(FORM)


def settings() -> list[dict[str, Any]]:
    road = data()["road"]
    return [road["settings"][number] for number in road["bars"]]


@pytest.mark.parametrize("number", [0, 5, 11])
def test_a_stream_holds_the_notes_of_the_whole_road_in_its_key(number: int) -> None:
    take = compile_take(in_key(FORM, twelve_keys(FORM.key)[number]))
    names = [part["name"] for part in data()["parts"]]
    assert names == [*(part.name for part in take.parts), "solo"]
    for part in take.parts:
        found = sorted((n[2], n[3]) for n in notes_of(data(), number, part.name))
        assert found == sorted((n.pitch, n.velocity) for n in part.notes)


def test_a_pickup_lies_before_the_first_bar() -> None:
    early = [note for note in notes_of(data(), 0, "comping") if note[0] < 0]
    assert {note[0] for note in early} == {-960}


def test_bars_have_the_metres_of_the_chart_and_end_where_its_bars_end() -> None:
    assert [tuple(found["meter"]) for found in settings()] == [
        (bar.meter.numerator, bar.meter.denominator) for bar in BARS
    ]
    ends = list(accumulate(found["barTicks"] for found in settings()))
    assert ends == [bar.end - CHART.start for bar in BARS]
    assert data()["road"]["end"] == CHART.end - CHART.start


def test_the_course_takes_the_seconds_of_the_chart_s_tempi() -> None:
    course = data()["road"]["course"]
    home = FORM.tempo * FORM.meter.beat_ticks / 60
    ends = [tick for tick, _ in course[1:]] + [data()["road"]["end"]]
    seconds = sum(
        (end - tick) / home / share for (tick, share), end in zip(course, ends, strict=True)
    )
    assert seconds == pytest.approx(CHART.seconds(CHART.end) - CHART.seconds(CHART.start), rel=1e-4)
    assert [tick for tick, _ in course] == sorted({tick for tick, _ in course})


def test_a_fermata_is_held_from_its_chord_to_the_end_of_its_bar() -> None:
    (bar,) = [bar for bar in BARS if bar.held is not None]
    assert bar.held is not None
    assert data()["road"]["held"] == [[bar.held - CHART.start, bar.end - CHART.start]]


@pytest.mark.parametrize("number", range(12))
def test_chords_are_those_of_the_chart_in_every_key(number: int) -> None:
    """By pitch class: spelling follows the guide's key, which has six signs at most."""
    found = data()
    chart = unroll(in_key(FORM, twelve_keys(FORM.key)[number]))
    slots = sorted((slot.start, slot) for bar in chart.bars[:-1] for slot in bar.slots)
    starts = [start for start, _ in slots]
    for start, length, _, _, _, distinct, mark, *moved in found["chords"]:
        slot = slots[bisect_right(starts, start + CHART.start) - 1][1]
        key = found["keys"][(number + sum(moved)) % 12]
        entry = found["guides"][key["written"]["C"][0]]["chords"][distinct]
        assert entry["root"] * 7 % 12 == slot.chord.root.pitch_class
        assert slot.start == start + CHART.start
        assert (mark == "N.C.") == slot.silent
        assert (mark == "~") == bool(slot.early)
        assert length > 0
    ends = [start + length for start, length, *_ in found["chords"]]
    begins = [start for start, *_ in found["chords"]]
    assert begins == [0, *ends[:-1]]
    assert ends[-1] == BARS[-1].end - CHART.start


def test_rounds_and_passes_divide_the_road() -> None:
    road = data()["road"]
    for spans in (road["rounds"], road["passes"]):
        assert all(before[1] == after[0] for before, after in pairwise(spans))
        assert (spans[0][0], spans[-1][1]) == (0, len(BARS))
    assert [line["open"] for line in road["lines"]] == [False, True, False, False]
    assert [(found[2], found[3]) for found in road["rounds"]] == [
        (0, 0), (1, 0), (1, 0), (2, 2), (3, 0),
    ]  # fmt: skip
    assert [found[3] for found in road["passes"]] == ["A", "A", "B", "A", "B", "A", "Slow"]


def test_words_say_who_rests_what_is_played_and_where_it_slows() -> None:
    words = data()["road"]["words"]
    assert words[0] == ["softly", "bass out"]
    assert words[4] == ["bass in"]
    assert "stops" in words[8]
    assert [bar for bar, said in words.items() if "rit." in said] == [21]
    assert [bar for bar, said in words.items() if "fermata" in said] == [22]


def test_bars_that_are_not_alike_are_a_road_of_one_open_line() -> None:
    uneven = arranged(sections=[{"name": "A", "chords": "| I | 2/4 V |"}], choruses=3, key="C")
    found = on_a_road(uneven)
    assert found is not None
    (line,) = found.order
    assert (line.times, line.is_open) == (3, True)


@pytest.mark.parametrize("name", ["twelve-bar", "rhythm-changes"])
def test_a_form_of_equal_bars_goes_round(name: str) -> None:
    assert on_a_road(read_form(name)) is None
