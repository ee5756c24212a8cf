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
from groove.handout.drawing.page import Box, Glyph, Mark, Text, ink_box
from groove.handout.video.chart_view import ChartView
from groove.handout.video.course import Course
from groove.handout.video.look import Look, Room, look_of
from groove.theory.symbols import symbol
from tests.handout.chart.chart_material import FORMS, form

ARRANGEMENTS = [
    str(path) for path in sorted((Path(__file__).parents[2] / "arrangements").glob("*.toml"))
]
SIZES = ("wide", "upright", "square")
CLOSE = 1e-6  # mm

MADE = {
    "one bar": form(chords="Em7", choruses=5),
    "one bar in all keys": form(chords="Em7", choruses=12, key_cycle="fourths"),
    "hundred bars": form(chords="I7:50 IV7:25 V7:25", choruses=1),
    "seven eighths": form(chords="i:4 iv:4 V7 i i V7", key="Em", meter="7/8", tempo=150),
    "halves": form(chords="I6 VI7 ii7 V7 I6:2 IV6:1/2 V7:1/2 I6", meter="2/2", tempo=120),
    "twelve eighths": form(chords="I vi IV V", meter="12/8", tempo=60, choruses=4, tempo_step=5),
    "three a bar": form(chords="I6:1/4 #Idim7:1/4 ii7:1/2 V7 I6:2", choruses=2),
    "crowded": form(chords="F#m7b5/C:1/4 Bbmaj7#11:1/4 F#m7b5/C:1/4 Ab13#11:1/4 C", key="C"),
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
def seen(name: str, size: str) -> tuple[ChartView, Course, Look]:
    look = look_of(size, "light")
    course = course_of(name)
    return ChartView(course.chart, look), course, look


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


def inside(marks: Sequence[Mark], room: Room) -> list[Mark]:
    """The text and signs that stand in a rectangle, from left to right."""
    found = [
        m
        for m in marks
        if isinstance(m, Text | Glyph) and (box := ink_box(m)) and within(box, room)
    ]
    return sorted(found, key=lambda mark: mark.x)


def test_bar_that_sounds_is_in_view_and_the_next_one_a_beat_before_its_time(
    name: str, size: str
) -> None:
    view, course, look = seen(name, size)
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


def test_all_rows_stand_in_the_room_in_chords_that_are_large_enough(name: str, size: str) -> None:
    view, course, look = seen(name, size)
    drawings = {view.scene(moment).drawing for moment in course.moments}
    rows = {(slot, row) for drawing in drawings for slot, row in enumerate(drawing)}  # type: ignore[arg-type, var-annotated]
    for slot, row in rows:
        if row is None:
            continue
        alone = tuple(row if place == slot else None for place in range(slot + 1))
        for mark in view.marks(alone):
            box = ink_box(mark)
            assert box is None or within(box, view.room), (mark, view.room)
    for moment in course.moments:
        for fill in view.scene(moment).fills:
            assert within(Box(fill.x, fill.y, fill.x + fill.wide, fill.y + fill.high), view.room)
    assert view.smallest >= look.least - CLOSE


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
