"""The tab beside the chart marks the notes that the track's own soloist plays, as they sound."""

from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from groove.band.part import SOLO, PlayedNote
from groove.errors import OptionError
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.handout.drawing.page import POINT, Glyph, Text
from groove.handout.sheet.sheet import write_sheet
from groove.handout.video.course import Course, Moment
from groove.handout.video.look import look_of
from groove.handout.video.shown.shown_view import shown_view
from groove.handout.video.shown.tab_view import TabView
from groove.handout.video.view import Fill
from groove.handout.video.views import between_moments
from groove.lesson.request import USUAL, Request
from groove.track import compile_take
from tests.handout.video.shown.shown_material import NEAR, SIZES, a_form, drawings, outside

ARRANGEMENTS = Path(__file__).parents[3] / "arrangements"
SOLOS = (("twelve-bar", "example"), ("minor-twelve-bar", "answers"))
LATE = 0.05
"""Seconds that touch may move a note after the bar line up to which it is written."""


@cache
def solo_of(name: str, solo: str) -> tuple[PlayedNote, ...]:
    """The notes of the solo in the take of a form."""
    take = compile_take(a_form(name, solo=solo))
    return next(part.notes for part in take.parts if part.name == SOLO)


@cache
def a_tab(name: str, solo: str, size: str = "wide") -> TabView:
    form = a_form(name, solo=solo)
    chart = unroll(form)
    course, look = Course.of(chart), look_of(size, "light", "tab")
    view = shown_view("tab", form, chart, course, look, USUAL, solo_of(name, solo))
    assert isinstance(view, TabView)
    return view


def at(view: TabView, seconds: float) -> Moment:
    """The moment of a time, as a film has it."""
    return course_of(view).at(seconds)


@cache
def course_of(view: TabView) -> Course:
    """The course with all moments at which the view changes."""
    return view.course.with_times(between_moments([view]))


def marked(view: TabView, moment: Moment) -> list[tuple[int, str]]:
    """String and number of the frets that stand on a mark."""
    scene = view.scene(moment)
    strings = [m for m in view.marks(scene.drawing) if isinstance(m, Text)]
    numbers = [m for m in strings if m.text.strip("()").isdigit() and m.face == "bold"]
    return [
        (string_of(view, number), number.text)
        for number in numbers
        if any(_lies_on(number, fill) for fill in scene.fills if fill.colour == "beat")
    ]


def _lies_on(mark: Text, fill: Fill) -> bool:
    across = fill.x < mark.x < fill.x + fill.wide
    return across and fill.y < mark.y < fill.y + fill.high


def string_of(view: TabView, number: Text) -> int:
    """The string on whose line a number stands: its middle is at the line."""
    names = [
        mark for mark in view.marks((0, False)) if isinstance(mark, Text) and mark.anchor == "end"
    ]
    lines = [name.y - 0.36 * name.size * POINT for name in names]
    middle = number.y - 0.36 * number.size * POINT
    return min(range(6), key=lambda n: abs(lines[n] - middle)) + 1


@pytest.mark.parametrize(("name", "solo"), SOLOS)
def test_the_note_on_the_mark_is_the_one_that_the_take_plays(name: str, solo: str) -> None:
    view = a_tab(name, solo)
    played = solo_of(name, solo)
    assert len(view.sounding) == len(played)
    for note in played:
        begin, end = (view.chart.seconds(t) for t in (note.start, note.start + note.length))
        middle = (begin + end) / 2
        for seconds in (begin + 0.001, middle, min(end, _bar_ends(view, middle)) - 0.001):
            found = [(s, text.strip("()")) for s, text in marked(view, at(view, seconds))]
            assert (note.string, str(note.fret)) in found
        assert end - _bar_ends(view, middle) < LATE


def _bar_ends(view: TabView, seconds: float) -> float:
    """The end of the bar up to which a note that sounds is written: there the tab turns."""
    last = max(note.end for note in view.sounding_at(seconds)) - 1
    return view.chart.seconds(view.chart.bar_at(view.chart.start + last).end)


@pytest.mark.parametrize(("name", "solo"), SOLOS)
def test_where_the_soloist_is_silent_a_narrow_band_stands_at_the_beat(name: str, solo: str) -> None:
    view = a_tab(name, solo)
    sounds = [(s, e) for s, e, _ in view.sounding]
    free = [(max(e for _, e in sounds[: n + 1]), sounds[n + 1][0]) for n in range(len(sounds) - 1)]
    gaps = [(a, b) for a, b in free if b - a > 0.02]
    assert gaps
    before = -1, 0.0
    for begin, end in gaps:
        moment = at(view, (begin + end) / 2)
        fills = view.scene(moment).fills
        assert [fill.colour for fill in fills] == ["mark", "beat", "line"]
        bar, band, strip = fills
        assert bar.x - NEAR <= band.x + band.wide / 2 <= bar.x + bar.wide
        assert strip.wide > 3 * band.wide
        assert strip.x + strip.wide / 2 == pytest.approx(band.x + band.wide / 2)
        assert (moment.bar, band.x) >= before or band.x < bar.x + bar.wide / 4
        before = moment.bar, band.x


@pytest.mark.parametrize(("name", "solo"), SOLOS)
def test_the_place_is_marked_all_the_time(name: str, solo: str) -> None:
    """In the bar that sounds, and it never goes back in it."""
    view = a_tab(name, solo)
    last: dict[int, float] = {}
    for moment in course_of(view).moments:
        if not 0 <= moment.bar < view.chart.rounds[-1].last:
            continue
        bar, *others = view.scene(moment).fills
        assert (bar.colour, others[-1].colour) == ("mark", "line")
        place = max(fill.x + fill.wide / 2 for fill in others)
        assert place >= last.get(moment.bar, 0.0) - NEAR
        last[moment.bar] = place


def test_of_a_tied_note_one_column_is_marked() -> None:
    view = a_tab("twelve-bar", "example")
    tied = 0
    for moment in course_of(view).moments:
        if 0 <= moment.bar < view.chart.rounds[-1].last:
            bands = [f for f in view.scene(moment).fills if f.colour == "beat"]
            assert len(bands) <= max(1, len(view.sounding_at(moment.seconds)))
            notes = [n for n in view.line.notes if n in view.sounding_at(moment.seconds)]
            tied += any(
                head.tied and head.note in notes
                for bar in view.written
                for column in bar.columns
                for head in column.heads
            )
    assert tied


def test_before_the_solo_the_view_tells_when_it_begins() -> None:
    """And no six empty lines stand where no more solo comes."""
    form = read_form(ARRANGEMENTS / "stop-time-blues.toml", solo="example")
    chart = unroll(form)
    course, look = Course.of(chart), look_of("wide", "light", "tab")
    view = shown_view("tab", form, chart, course, look, USUAL, ())
    assert isinstance(view, TabView)
    begins = min(chart.rounds[own].first for own in view.own)
    told = {m.bar: view.scene(m).drawing for m in course.moments if m.bar < begins}
    assert told[begins - 1] == "Solo in 1 bar"
    assert told[begins - 2] == "Solo in 2 bars"
    assert isinstance(view.scene(course.moments[-1]).drawing, str)
    for marks in drawings(view, course.moments):
        assert outside(view, marks) == []


def test_numbers_are_those_of_the_sheets_solo() -> None:
    view = a_tab("twelve-bar", "example")
    line = write_sheet(a_form("twelve-bar", solo="example")).solo
    own = [n for n in view.line.notes if n.start < view.line.bars[len(line.bars)].start]
    assert [(n.start, n.place, n.joined, n.bend) for n in own] == [
        (n.start, n.place, n.joined, n.bend) for n in line.notes
    ]


@pytest.mark.parametrize("size", SIZES)
def test_the_bar_that_sounds_and_the_next_are_in_view(size: str) -> None:
    view = a_tab("twelve-bar", "example", size)
    for moment in view.course.moments:
        if not 0 <= moment.bar < view.chart.rounds[-1].last:
            continue
        first, _ = view.scene(moment).drawing  # type: ignore[misc]
        last = first + view.bars - 1
        assert first <= moment.bar <= last
        assert moment.bar < last or last >= len(view.written) - 1


def test_after_the_example_the_turn_is_the_students_and_the_tab_stays() -> None:
    view = a_tab("twelve-bar", "example")
    last = view.chart.rounds[-1].last
    turns = [view.scene(m).drawing for m in view.course.moments if 0 <= m.bar < last]
    yours = [turn for _, turn in turns]  # type: ignore[misc]
    assert yours == sorted(yours)
    bars = view.chart.rounds[0].last
    numbers = [
        [m.text for m in view.marks((first, False)) if isinstance(m, Text) and m.face == "bold"]
        for first in (0, bars)
    ]
    assert bars % (view.bars - 1) == 0
    assert numbers[0] == numbers[1]


def test_a_line_before_the_open_one_is_not_the_students() -> None:
    form = read_form(ARRANGEMENTS / "stop-time-blues.toml", solo="example")
    chart = unroll(form)
    course, look = Course.of(chart), look_of("wide", "light", "tab")
    view = shown_view("tab", form, chart, course, look, USUAL, ())
    assert isinstance(view, TabView)
    (own,) = view.own
    for moment in course.moments:
        number = chart.bars[max(moment.bar, 0)].round
        if number < len(chart.rounds) and moment.bar < chart.rounds[-1].last:
            drawing = view.scene(moment).drawing
            yours = isinstance(drawing, tuple) and drawing[1]
            open_line = form.lines[chart.rounds[number].line].is_open
            assert yours == (number > own and open_line)


def test_two_bars_are_played_and_two_are_the_students() -> None:
    view = a_tab("minor-twelve-bar", "answers")
    chart = view.chart
    for moment in view.course.moments:
        if 0 <= moment.bar < chart.rounds[-1].last:
            _, yours = view.scene(moment).drawing  # type: ignore[misc]
            place = (moment.bar - chart.rounds[chart.bars[moment.bar].round].first) % 4
            assert yours == (place >= 2)


def test_a_film_has_a_moment_wherever_a_note_begins_or_ends() -> None:
    view = a_tab("twelve-bar", "example")
    course = course_of(view)
    times = [moment.seconds for moment in course.moments]
    assert set(view.changes) <= set(times)
    assert all(a < b for a, b in pairwise(times))
    for moment in course.moments:
        assert moment == replace(view.course.at(moment.seconds), seconds=moment.seconds)


def test_where_the_room_is_high_the_rhythm_stands_under_the_strings() -> None:
    view = a_tab("twelve-bar", "example", "upright")
    names = [m for m in view.marks((0, False)) if isinstance(m, Text) and m.anchor == "end"]
    foot = max(name.y for name in names)
    for first in (0, view.bars - 1):
        signs = [
            mark.name
            for mark in view.marks((first, False))
            if isinstance(mark, Glyph) and mark.y > foot
        ]
        values = [
            ("rest" if column.note.rest else "notehead")
            for bar in view.written[first : first + view.bars]
            for column in bar.columns
        ]
        heads = [name for name in signs if name.endswith((" rest", " notehead"))]
        assert sorted(name.split()[-1] for name in heads) == sorted(values)


@pytest.mark.parametrize("size", SIZES)
def test_marks_and_fills_lie_in_the_room(size: str) -> None:
    for name, solo in SOLOS:
        view = a_tab(name, solo, size)
        for marks in drawings(view, view.course.moments):
            assert outside(view, marks) == []
        foot = view.room.y + view.room.high + 1e-6
        for seconds in view.changes:
            for fill in view.scene(at(view, seconds)).fills:
                assert fill.y + fill.high <= foot


def test_a_form_without_a_solo_says_what_to_write() -> None:
    form = read_form("twelve-bar")
    chart = unroll(form)
    look = look_of("wide", "light", "tab")
    with pytest.raises(OptionError, match=r'^show: tab: the form has no solo; write solo = "exa'):
        shown_view("tab", form, chart, Course.of(chart), look, Request())
