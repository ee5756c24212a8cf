"""Patterns at half and double rate. Source: common practice of half-time and double-time feel."""

import pytest

from groove.band.plan.planner import planned
from groove.band.take import play
from groove.form.chart import Bar
from groove.form.unroll import unroll
from groove.library import names
from groove.rhythm.patterns import drum_pattern
from groove.rhythm.pulse import paced
from tests.cases import in_turn
from tests.form.road_material import arranged

DRUMS = names("drums")
EVEN = [name for name in DRUMS if drum_pattern(name).grid.meter.beats % 2 == 0]


def backbeats(pulse: str) -> list[set[float]]:
    """The beats of each bar, from 0, on which the snare is struck hard."""
    chart = unroll(
        arranged(sections=[{"name": "A", "chords": "I:8", "pulse": pulse}], order=["A"],
                 drums="eighths-rock", intensity="2", ending="written")
    )  # fmt: skip
    drums = play(planned(chart))[0]

    def of(bar: Bar) -> set[float]:
        return {
            (note.start - bar.start) / 960
            for note in drums.notes
            if bar.start <= note.start < bar.end and note.row == "snare" and note.weight > 0.5
        }

    return [of(bar) for bar in chart.bars[1:3]]


def test_the_backbeat_of_rock_comes_half_and_twice_as_often() -> None:
    assert all({1, 3} <= bar for bar in backbeats("none"))
    assert all(2 in bar and not bar & {1, 3} for bar in backbeats("half"))
    assert all({0.5, 1.5, 2.5, 3.5} <= bar for bar in backbeats("double"))


@in_turn("name", EVEN)
def test_at_half_rate_a_bar_fills_two_and_its_strokes_lie_twice_as_far(name: str) -> None:
    pattern = drum_pattern(name)
    slow = paced(pattern, "half")
    lines = pattern.grid.lines
    first = {(2 * s.line, s.row) for s in pattern.cells[0].strokes if s.line < lines}
    assert {(s.line, s.row) for s in slow.cells[0].strokes} == first
    assert {cell.lines for cell in slow.cells} == {2 * lines}


@in_turn("name", DRUMS)
def test_at_double_rate_strokes_lie_half_as_far(name: str) -> None:
    pattern = drum_pattern(name)
    fast = paced(pattern, "double")
    for slow, doubled in zip(pattern.cells, fast.cells, strict=True):
        half = {(s.line * pattern.grid.line_ticks / 2, s.row) for s in slow.strokes}
        assert half <= {(s.line * fast.grid.line_ticks, s.row) for s in doubled.strokes}


def test_a_bar_of_three_has_no_half_time_feel() -> None:
    with pytest.raises(ValueError, match="no two halves"):
        paced(drum_pattern("waltz"), "half")
