"""The chart in a video: what is in view and when it turns, the bar that is marked, sizes."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from groove.form.chart import Slot
from groove.form.model import Form
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.handout.drawing.page import Box, Glyph, Line, Mark, Text, ink_box
from groove.handout.video.chart_view import QUIET, ChartView
from groove.handout.video.course import Course, Moment
from groove.handout.video.look import Look, Room, look_of
from groove.handout.video.view import Fill
from groove.theory.symbols import symbol
from tests.handout.chart.chart_material import FORMS, form

ARRANGEMENTS = [
    str(path) for path in sorted((Path(__file__).parents[2] / "arrangements").glob("*.toml"))
]
SIZES = ("wide", "upright", "square")
CLOSE = 1e-6  # mm

MADE = {
    "one bar": form(chords="Em7", choruses=5),
    "one bar and a long end": form(chords="I7", choruses=1, ending="bass-run"),
    "one bar pushed": form(chords="~V7", choruses=2, ending="abanico"),
    "one bar in all keys": form(chords="Em7", choruses=12, key_cycle="fourths"),
    "hundred bars": form(chords="I7:50 IV7:25 V7:25", choruses=1),
    "seven eighths": form(chords="i:4 iv:4 V7 i i V7", key="Em", meter="7/8", tempo=150),
    "halves": form(chords="I6 VI7 ii7 V7 I6:2 IV6:1/2 V7:1/2 I6", meter="2/2", tempo=120),
    "twelve eighths": form(chords="I vi IV V", meter="12/8", tempo=60, choruses=4, tempo_step=5),
    "three a bar": form(chords="I6:1/4 #Idim7:1/4 ii7:1/2 V7 I6:2", choruses=2),
    "crowded": form(chords="F#m7b5/C:1/4 Bbmaj7#11:1/4 F#m7b5/C:1/4 Ab13#11:1/4 C", key="C"),
    "wide and narrow": form(chords="F#m7b5/C:1/4 Bb13#9#11/Eb:3/4", key="C", choruses=2),
    "off the beat": form(chords="F#m7b5:3/8 Bbmaj7#11:5/8 C Dm7/G:1/8 Em7b5/A:1/8 C:3/4", key="C"),
    "long names": form(
        sections=[
            {"name": "A very long way round to the bridge and back", "chords": "I:4 IV:4"},
            {"name": "Another one that nobody can read in one glance", "chords": "V7:3 I:3"},
        ]
    ),
    "loop": form(chords="I:2 IV:2 V7:2 I:2", ending="loop", choruses=3),
}


@cache
def course_of(name: str) -> Course:
    made: Form = MADE[name] if name in MADE else read_form(name)
    return Course.of(unroll(made))


@cache
def seen(name: str, size: str, show: str = "none") -> tuple[ChartView, Course, Look]:
    look = look_of(size, "light", show)
    course = course_of(name)
    return ChartView(course, look), course, look


@pytest.fixture(params=SIZES)
def size(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(params=[*FORMS, *ARRANGEMENTS, *MADE])
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def spelled(slot: Slot) -> str:
    """The symbol of a chord, with no sign for a push."""
    return "N.C." if slot.silent else str(symbol(slot.chord)) + "*" * slot.root_only


def within(box: Box, room: Room) -> bool:
    return (
        box.left >= room.x - CLOSE
        and box.top >= room.y - CLOSE
        and box.right <= room.x + room.wide + CLOSE
        and box.bottom <= room.y + room.high + CLOSE
    )


def inside(marks: Sequence[Mark], room: Room) -> list[Text | Glyph]:
    """The text and signs that stand in a rectangle, from left to right."""
    found = [
        m
        for m in marks
        if isinstance(m, Text | Glyph) and (box := ink_box(m)) and within(box, room)
    ]
    return sorted(found, key=lambda mark: mark.x)


def check_view(view: ChartView, course: Course, look: Look) -> None:
    """The bar that sounds is in view, and the next one before its time; not too many are."""
    for moment, after in pairwise(course.moments):
        bars = view.bars_in_view(moment)
        assert max(0, moment.bar) in bars
        assert len(bars) <= look.most_bars
        if after.bar > moment.bar >= 0 and after.bar not in bars:
            # The same row sounds once more: its place looks as it will, nothing has to come.
            room = view.marked(after)
            assert room
            now, then = (view.marks(view.scene(each).drawing) for each in (moment, after))
            assert inside(now, room) == inside(then, room) != []
    assert course.moments[-1].bar in view.bars_in_view(course.moments[-1])


def check_room(view: ChartView, course: Course, look: Look) -> None:
    """Every row stands in the room wherever it has a place, and so does all that marks bars."""
    drawings = {view.scene(moment).drawing for moment in course.moments}
    rows = {place for drawing in drawings for place in enumerate(drawing)}  # type: ignore[var-annotated, arg-type]
    for slot, row in rows:
        for mark in () if row is None else view.marks((None,) * slot + (row,)):
            box = ink_box(mark)
            assert box is None or within(box, view.room), (mark, view.room)
    for moment in course.moments:
        for fill in view.scene(moment).fills:
            assert within(Box(fill.x, fill.y, fill.x + fill.wide, fill.y + fill.high), view.room)
    assert view.smallest >= look.least - CLOSE


def test_bar_that_sounds_is_in_view_and_the_next_one_before_its_time(name: str, size: str) -> None:
    check_view(*seen(name, size))


def test_rows_stand_in_the_room_in_chords_that_are_large_enough(name: str, size: str) -> None:
    check_room(*seen(name, size))


@pytest.mark.parametrize("which", ["rhythm-changes", ARRANGEMENTS[0], "one bar and a long end"])
def test_chart_keeps_its_laws_beside_a_neck(which: str, size: str) -> None:
    check_view(*seen(which, size, "neck"))
    check_room(*seen(which, size, "neck"))


def test_marked_bar_holds_the_chords_of_the_road(name: str, size: str) -> None:
    view, course, look = seen(name, size)
    read: dict[int, dict[Room, str]] = {}
    known: set[tuple[object, Room]] = set()
    for moment in course.moments:
        room = view.marked(moment)
        assert (room is None) == (moment.bar < 0)
        if room is None or (moment.bar, room) in known:
            continue
        known.add((moment.bar, room))
        found = inside(view.marks(view.scene(moment).drawing), room)
        simile = any(isinstance(mark, Glyph) and mark.name == "repeat bar" for mark in found)
        texts = [mark for mark in found if isinstance(mark, Text) and mark.face == "bold"]
        assert simile or max(mark.size for mark in texts) >= look.least - CLOSE
        words = "%" if simile else "".join(mark.text for mark in texts).replace("~", "")
        read.setdefault(moment.bar, {})[room] = words
    before = ""
    for number, bar in enumerate(course.chart.bars):
        words = "".join(read[number].values())
        expected = "".join(spelled(slot) for slot in bar.slots)
        assert words == expected or (words == "%" and expected == before), number
        before = expected


def first(course: Course, bar: int) -> Moment:
    return next(moment for moment in course.moments if moment.bar == bar)


def test_rows_above_the_last_one_show_what_comes_while_that_one_stays() -> None:
    view, course, _ = seen("rhythm-changes", "wide")
    tops = {number: view.marked(first(course, number)) for number in range(32)}
    heights = {number: room.y for number, room in tops.items() if room}
    assert heights[0] < heights[4] < heights[8] < heights[12]
    assert [heights[number] for number in range(12, 16)] == [heights[12]] * 4
    assert heights[16] == heights[0]
    assert view.bars_in_view(first(course, 11)) == tuple(range(16))
    for number in range(12, 16):
        assert view.bars_in_view(first(course, number)) == (*range(16, 28), *range(12, 16))
    assert view.bars_in_view(first(course, 16)) == tuple(range(16, 32))


@pytest.mark.parametrize("which", ["rhythm-changes", ARRANGEMENTS[0]])
def test_rows_above_that_come_later_are_quiet_until_the_music_is_there(
    which: str, size: str
) -> None:
    view, course, _ = seen(which, size)
    turned = 0
    for moment in course.moments:
        room = view.marked(moment)
        if room is None:
            continue
        marks = view.marks(view.scene(moment).drawing)
        quiet = [m for m in marks if isinstance(m, Text | Glyph | Line) and m.ink == QUIET]
        boxes = [box for mark in quiet if (box := ink_box(mark))]
        assert all(box.bottom <= room.y + CLOSE for box in boxes)
        assert all(mark.ink == 1 for mark in inside(marks, room))
        assert not quiet or view.bars_in_view(moment)[0] > moment.bar
        turned += bool(quiet)
        if quiet:  # the first row in black is the one that sounds
            drawing = view.scene(moment).drawing
            assert isinstance(drawing, tuple)
            place = next(n for n, shown in enumerate(drawing) if shown and not shown[1])
            assert inside(view.marks((None,) * place + (drawing[place],)), room)
    assert turned


def test_form_whose_choruses_are_alike_on_one_page_never_turns() -> None:
    view, course, _ = seen("loop", "wide")
    assert len({view.scene(moment).drawing for moment in course.moments}) == 1
    assert view.marked(first(course, 3)) == view.marked(first(course, 11))


def test_mark_is_a_fill_with_a_line_under_it_that_is_thicker_under_the_beat(size: str) -> None:
    view, course, _ = seen("twelve-bar", size)
    for moment in course.moments:
        fills = view.scene(moment).fills
        room = view.marked(moment)
        if room is None:
            assert all(fill.colour == "line" for fill in fills)
            continue
        fill, line, beat = fills
        assert (fill.x, fill.y, fill.wide, fill.high) == (room.x, room.y, room.wide, room.high)
        assert (fill.colour, line.colour, beat.colour) == ("mark", "line", "line")
        assert (line.x, line.wide, line.y) == (room.x, room.wide, room.y + room.high)
        assert beat.y == line.y
        assert beat.high > 2 * line.high
        assert beat.wide < room.wide / 3
    beats = [view.scene(m).fills[2].x for m in course.moments if m.bar == 0]
    assert beats == sorted(set(beats))
    assert len(beats) == 4


def test_first_bar_has_a_frame_before_it_sounds() -> None:
    view, course, _ = seen("twelve-bar", "wide")
    room = view.marked(first(course, 0))
    assert room
    for moment in course.moments:
        if moment.bar >= 0:
            break
        fills = view.scene(moment).fills
        assert min(fill.x for fill in fills) == room.x
        assert max(fill.x + fill.wide for fill in fills) == pytest.approx(room.x + room.wide)
        assert min(fill.y for fill in fills) == room.y
        assert max(fill.y + fill.high for fill in fills) == pytest.approx(room.y + room.high)
        assert sum(fill.wide * fill.high for fill in fills) < 0.1 * room.wide * room.high


def test_names_of_sections_stand_over_their_first_bars_and_bars_have_no_numbers() -> None:
    view, course, _ = seen(ARRANGEMENTS[2], "wide")
    for played in course.chart.passes:
        moment = first(course, played.first)
        room = view.marked(moment)
        marks = [m for m in view.marks(view.scene(moment).drawing) if isinstance(m, Text)]
        names = [m for m in marks if m.text == played.section.name]
        assert room
        assert any(m.x == pytest.approx(room.x) and 0 < room.y - m.y < 10 for m in names)
        assert not any(m.text.isdigit() and m.face == "regular" for m in marks)


def test_stops_stand_as_notes_where_there_is_room_for_them_else_as_a_word() -> None:
    for size, noted in (("wide", True), ("upright", False)):
        view, course, _ = seen(ARRANGEMENTS[3], size)
        stop = next(n for n, bar in enumerate(course.chart.bars) if bar.figure)
        moment = first(course, stop)
        marks = view.marks(view.scene(moment).drawing)
        room = view.marked(moment)
        assert room
        words = [mark for mark in marks if isinstance(mark, Text) and mark.text == "stops"]
        rests = [m for m in inside(marks, room) if isinstance(m, Glyph) and "rest" in m.name]
        assert (bool(rests), bool(words)) == (noted, not noted)


def test_chords_that_a_row_has_no_room_for_stand_on_several() -> None:
    view, course, _ = seen("crowded", "upright")
    rooms = [view.marked(m) for m in course.moments if m.bar == 0]
    assert len({room.y for room in rooms if room}) == 2
    marks = view.marks(view.scene(first(course, 0)).drawing)
    upper = min(room.y for room in rooms if room) + 30
    edges = {mark.x1 for mark in marks if isinstance(mark, Line) and mark.y1 < upper}
    assert edges == {min(room.x for room in rooms if room)}, "no bar line where it goes on below"


def test_last_bar_stays_marked_until_the_sound_ends() -> None:
    view, course, _ = seen("twelve-bar", "wide")
    last = course.at(10_000.0)
    assert last.bar == len(course.chart.bars) - 1
    assert view.marked(last) == view.marked(first(course, last.bar))


@pytest.mark.parametrize("meter", ["2/4", "3/8", "4/4"])
@pytest.mark.parametrize("chords", ["C", "C F", "C F G"])
def test_no_place_flashes_more_than_three_times_a_second(chords: str, meter: str) -> None:
    """At the fastest tempo. Source: WCAG 2.2, success criterion 2.3.1."""
    fastest = form(chords=chords, meter=meter, tempo=320, choruses=8, ending="loop")
    course = Course.of(unroll(fastest))
    view = ChartView(course, look_of("wide", "dark"))
    begins: dict[Fill, list[float]] = {}
    shown: set[Fill] = set()
    for moment in course.moments:
        fills = set(view.scene(moment).fills)
        for fill in fills - shown:
            begins.setdefault(fill, []).append(moment.seconds)
        shown = fills
    for times in begins.values():
        assert all(after - before > 1 / 3 for before, after in pairwise(times))
