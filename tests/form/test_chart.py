"""The chart that a form unrolls to. Source: the form; forms themselves, common practice."""

from fractions import Fraction
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from groove.form.build import Layer, build
from groove.form.chart import Chart
from groove.form.unroll import unroll
from groove.rhythm.meter import METERS, TICKS_PER_QUARTER

NUMERALS = ("I7", "IV7", "V7", "ii7", "bIII7", "I/3")


def chart(**values: Any) -> Chart:
    return unroll(build([Layer(values, lambda field: field)]))


@st.composite
def chord_lines(draw: st.DrawFn) -> str:
    """Chords in quarters of a bar that fill whole bars, over bar lines too."""
    quarters = draw(st.lists(st.integers(1, 12), min_size=1, max_size=10))
    quarters[-1] += -sum(quarters) % 4
    names = draw(st.lists(st.sampled_from(NUMERALS), min_size=10, max_size=10))
    return " ".join(f"{n}:{Fraction(q, 4)}" for n, q in zip(names, quarters, strict=False))


@st.composite
def charts(draw: st.DrawFn) -> Chart:
    lines = draw(st.lists(chord_lines(), min_size=1, max_size=4))
    values: dict[str, Any] = {"sections": [{"name": "A", "chords": line} for line in lines]}
    values["sections"].append({"name": "B", "chords": "I7:2"})
    return chart(
        **values,
        meter=draw(st.sampled_from(list(METERS))),
        choruses=draw(st.integers(1, 5)),
        count_in=draw(st.integers(0, 2)),
        ending=draw(st.sampled_from(["hit", "ring", "loop"])),
        turnaround=draw(st.sampled_from([False, True, "ii7:1/4 V7:3/4"])),
    )


@given(charts())
def test_bars_follow_without_a_gap(chart: Chart) -> None:
    assert chart.bars[0].start == chart.start
    assert all(bar.end == after.start for bar, after in pairwise(chart.bars))


@given(charts())
def test_slots_fill_each_bar(chart: Chart) -> None:
    for bar in chart.bars:
        edges = [bar.start, *(slot.end for slot in bar.slots)]
        assert [slot.start for slot in bar.slots] == edges[:-1]
        assert edges[-1] == bar.end


@given(charts())
def test_changes_follow_without_a_gap(chart: Chart) -> None:
    assert (chart.changes[0].start, chart.changes[-1].end) == (chart.start, chart.end)
    assert all(one.end == other.start for one, other in pairwise(chart.changes))


@given(charts())
def test_chord_changes_but_at_the_top_and_the_end(chart: Chart) -> None:
    tops = {bar.start for bar in chart.bars if bar.number in (0, 1)}
    for one, other in pairwise(chart.changes):
        assert one.chord != other.chord or other.start in tops


@given(charts())
def test_slots_of_the_bars_are_the_changes(chart: Chart) -> None:
    for slot in (slot for bar in chart.bars for slot in bar.slots):
        sounding = next(c for c in chart.changes if c.start <= slot.start < c.end)
        assert sounding.chord == slot.chord
        assert slot.end <= sounding.end


@given(charts())
def test_every_chorus_has_all_bars(chart: Chart) -> None:
    form = chart.form
    numbers = [(bar.round, bar.number) for bar in chart.bars if bar.number]
    assert numbers == [(c, n + 1) for c in range(form.choruses) for n in range(form.bars)]


@given(charts())
def test_ending_has_a_bar_of_its_own_unless_it_loops(chart: Chart) -> None:
    assert len(chart.ending) == (chart.form.ending != "loop")


@given(charts())
def test_intensity_stays_in_one_to_three(chart: Chart) -> None:
    assert all(1 <= bar.intensity <= 3 for bar in chart.bars)


@given(charts())
def test_intensity_never_falls_from_chorus_to_chorus(chart: Chart) -> None:
    played = [bar.intensity for bar in chart.bars if bar.number]
    assert played == sorted(played)


@given(charts())
def test_last_bar_of_a_chorus_turns_it(chart: Chart) -> None:
    size = chart.form.bars
    if size >= 8:
        turned = [bar.number for bar in chart.bars if bar.turn == "chorus"]
        assert turned == [size] * chart.form.choruses


@pytest.mark.parametrize("size", [3, 4, 5, 6, 7])
def test_short_forms_turn_each_time_and_count_as_a_chorus_every_eight_bars(size: int) -> None:
    bars = chart(chords=f"I:{size}", choruses=12, ending="loop").bars
    assert all(bar.turn for bar in bars if bar.number == size)
    tops = [place for place, bar in enumerate(bars) if bar.top]
    assert all(8 <= later - earlier < 8 + size for earlier, later in pairwise(tops))


def test_phrases_of_twelve_bars_turn_at_four_eight_and_twelve() -> None:
    bars = chart(chords="I7:12", choruses=1, ending="loop").bars
    assert {bar.number: bar.turn for bar in bars if bar.turn} == {
        4: "phrase", 8: "phrase", 12: "chorus",
    }  # fmt: skip


def test_phrases_count_from_the_start_of_a_section() -> None:
    sections = [{"name": "A", "chords": "I:6"}, {"name": "B", "chords": "IV:5"}]
    bars = chart(sections=sections, choruses=1, ending="loop").bars
    assert [bar.number for bar in bars if bar.turn] == [4, 6, 10, 11]


@pytest.mark.parametrize("size", [1, 2])
def test_form_shorter_than_a_phrase_turns_every_four_bars(size: int) -> None:
    bars = chart(chords=f"I:{size}", choruses=12, ending="loop").bars
    turned = [place for place, bar in enumerate(bars, 1) if bar.turn]
    assert all(place % 4 == 0 for place in turned)


def test_quarter_bars_have_their_places() -> None:
    slots = chart(chords="I7:1/4 IV7:1/2 V7:1/4", count_in=0).bars[0].slots
    assert [s.start / TICKS_PER_QUARTER for s in slots] == [0, 1, 3]


def test_chord_over_the_bar_line_sounds_in_both_bars() -> None:
    bars = chart(key="C", chords="I7:3/2 V7:1/2", count_in=0).bars
    assert [[str(s.chord) for s in bar.slots] for bar in bars[:2]] == [["C7"], ["C7", "G7"]]


def test_pushed_chord_over_a_bar_line_is_pushed_once() -> None:
    bars = chart(chords="I7 ~IV7:2 V7", count_in=0).bars[:4]
    assert [bar.slots[0].early > 0 for bar in bars] == [False, True, False, False]


@pytest.mark.parametrize("choruses", [1, 2])
def test_track_of_single_bars_ends_after_its_last_chorus(choruses: int) -> None:
    (ending,) = chart(chords="I7", choruses=choruses, ending="hit").ending
    assert ending.round == choruses - 1


def test_chord_over_the_section_line_is_one_change() -> None:
    sections = [{"name": "A", "chords": "I:2"}, {"name": "B", "chords": "I:2"}]
    changes = chart(sections=sections, choruses=1, ending="loop").changes
    assert len(changes) == 1


@pytest.mark.parametrize(
    ("chords", "end"),
    [
        ("im7 iv7 V7 im6:2", "Cm6"),  # home already: the track stays there
        ("Imaj7 IV7 I7", "Cmaj7"),  # the last chord leads on
        ("im6 iv7 im7 V7", "Cm6"),
        ("I7 IV7 Isus4", "C7"),
        ("im7 IV7 I6", "Cm7"),
        ("ii7 V7", "C"),
    ],
)
def test_track_comes_to_rest_on_the_home_chord_as_it_was_last_played(chords: str, end: str) -> None:
    """Common practice."""
    (ending,) = chart(key="C", chords=chords, choruses=2, ending="hit").ending
    assert str(ending.slots[0].chord) == end


def test_turnaround_cuts_a_chord_short() -> None:
    changes = chart(key="C", chords="I7:4", turnaround="V7:1", choruses=1, ending="loop").changes
    assert [(str(c.chord), c.length // 3840) for c in changes] == [("C7", 3), ("G7", 1)]


@pytest.mark.parametrize("line", ["I7 IV7 I7:2", "I7:4", "I7:2 I7:2", "I7:3/2 I7:5/2"])
def test_quick_change_has_the_fourth_in_bar_two_alone(line: str) -> None:
    """Check-values: common practice."""
    bars = chart(key="C", chords=line, quick_change=True, choruses=1, ending="loop").bars
    assert [str(bar.slots[0].chord) for bar in bars] == ["C7", "F7", "C7", "C7"]


@pytest.mark.parametrize(
    ("line", "key", "home"),
    [("V7 I7", "C", "C7"), ("ii V", "C", "C"), ("iv V", "Cm", "Cm"), ("Imaj6/3 I7", "C", "C6")],
)
def test_track_comes_to_rest_on_the_tonic(line: str, key: str, home: str) -> None:
    ending = chart(chords=line, key=key).ending
    assert str(ending[-1].slots[-1].chord) == home
