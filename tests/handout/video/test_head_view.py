"""The head of a frame: section and time round, who is silent, key and tempo at each moment."""

from __future__ import annotations

from functools import cache
from itertools import combinations

import pytest

from groove.handout.drawing.page import Text, ink_box
from groove.handout.video.course import Course
from groove.handout.video.head_view import HeadView, Shown
from groove.rhythm.meter import Meter
from groove.theory.keys import Key
from groove.theory.symbols import key_words
from groove.wording import Wording, worded
from tests.handout.video.video_material import (
    FORMS,
    LONG,
    LOOKS,
    course,
    look,
    made,
)


def arrangement(name: str) -> Course:
    return course(next(path for path in FORMS if path.endswith(f"{name}.toml")))


def shown(found: Course) -> dict[int, Shown]:
    """What the head says in each bar, at its first beat; -1 for the count-in."""
    view = HeadView(found.chart, look("wide"))
    said: dict[int, Shown] = {}
    for moment in found.moments:
        drawing = view.scene(moment).drawing
        assert isinstance(drawing, Shown)
        said.setdefault(moment.bar, drawing)
    return said


def test_a_section_and_its_time_round_are_said_as_in_the_chart() -> None:
    said = shown(course("rhythm-changes"))
    assert [said[bar].place for bar in (-1, 0, 8, 16, 24, 32, 64, 88, 96)] == [
        "1st A, chorus 1 of 3",
        "1st A, chorus 1 of 3",
        "2nd A, chorus 1 of 3",
        "B, chorus 1 of 3",
        "3rd A, chorus 1 of 3",
        "1st A, chorus 2 of 3",
        "1st A, chorus 3 of 3",
        "3rd A, chorus 3 of 3",
        "to finish",
    ]


def test_a_form_without_sections_has_choruses_alone() -> None:
    assert shown(course("twelve-bar"))[12].place == "chorus 2 of 3"
    assert shown(made(chords="C:4", choruses=1))[0].place == ""


def test_lines_of_the_road_have_their_names() -> None:
    said = shown(arrangement("latin-swing-aaba"))
    assert [said[bar].place for bar in (0, 4, 8, 24, 40, 72, 212)] == [
        "1st Intro",
        "2nd Intro",
        "head: 1st A",
        "head: B",
        "solos, 1st of 3: 1st A",
        "solos, 2nd of 3: 1st A",
        "out: Last",
    ]
    said = shown(arrangement("stop-time-blues"))
    assert [said[bar].place for bar in (0, 4, 16, 28)] == [
        "intro", "head", "first solo, 1st of 2", "first solo, 2nd of 2",
    ]  # fmt: skip


def test_silent_players_and_a_pedal_are_said() -> None:
    found = arrangement("latin-swing-aaba")
    said = shown(found)
    assert said[0].words == ("comping out", "pedal C")
    assert said[4].words == ("pedal C",)
    assert said[8].words == ()
    alone = [n for n, bar in enumerate(found.chart.bars) if bar.drums_alone]
    assert alone
    assert {said[bar].words for bar in alone} == {("drums alone",)}
    blues = arrangement("stop-time-blues")
    solo = next(p for p in blues.chart.passes if p.name == "bass and soloist")
    assert shown(blues)[solo.first].words == ("drums and comping out",)


def test_key_and_tempo_follow_a_ladder_and_a_cycle() -> None:
    found = made(
        chords="I7:4 IV7:2 I7:2 V7 IV7 I7:2", key="C", choruses=3, key_cycle="fourths",
        tempo=100, tempo_step=6,
    )  # fmt: skip
    said = shown(found)
    assert [(said[bar].key, said[bar].tempo) for bar in (-1, 0, 11, 12, 24, 35)] == [
        ("C blues", 100), ("C blues", 100), ("C blues", 100),
        ("F blues", 106), ("B♭ blues", 112), ("B♭ blues", 112),
    ]  # fmt: skip


def test_key_and_metre_follow_the_sections() -> None:
    sections = [
        {"name": "A", "chords": "I | IV"},
        {"name": "B", "chords": "I | V", "key": "Eb", "meter": "6/8"},
    ]
    said = shown(made(sections=sections, order=["A, B"], key="C", tempo=100))
    assert [said[bar].key for bar in (0, 2)] == ["C major", key_words(Key.parse("Eb"))]
    assert [said[bar].meter for bar in (0, 2)] == [Meter.parse("4/4"), Meter.parse("6/8")]


def test_a_ritardando_is_said_while_it_lasts() -> None:
    said = shown(arrangement("stop-time-blues"))
    assert [bar for bar, found in said.items() if found.slows] == [98, 99]


def test_the_words_are_those_of_the_wording_in_use() -> None:
    from groove import library

    with worded(Wording(library.load("words", "german"))):
        said = shown(course("rhythm-changes"))
    assert said[8].place == "2. A, Chorus 1 von 3"
    assert said[8].key == "B-Dur"


@cache
def drawings() -> tuple[Shown, ...]:
    """What the head says in arrangements and in a form with long names."""
    long = "A very long way round to the bridge"
    sections = [
        {"name": long, "chords": "C:2", "pedal": "C", "tacet": "bass"},
        {"name": "B", "chords": "C:2", "key": "Ab", "meter": "12/8"},
    ]
    order = [{"play": f"{long}, B, {long}", "as": "the first of all solos", "times": 2, "rit": 2}]
    wide = made(sections=sections, order=order, tempo=112.5)
    roads = [course(path) for path in FORMS if "arrangements" in path]
    found = [set(shown(each).values()) for each in [wide, course("rhythm-changes"), *roads]]
    return tuple(set().union(*found))


@pytest.mark.parametrize(("size", "show"), LOOKS)
@pytest.mark.parametrize("title", ["夜のバス Ƒado", LONG, "Short"])
def test_marks_lie_in_the_room_and_apart(size: str, show: str, title: str) -> None:
    shape = look(size, show)
    room = shape.rooms["head"]
    view = HeadView(made(chords="C:4", choruses=1, title=title).chart, shape)
    for drawing in drawings():
        boxes = [(box, mark) for mark in view.marks(drawing) if (box := ink_box(mark))]
        assert min(box.left for box, _ in boxes) >= room.x - 1e-6
        assert min(box.top for box, _ in boxes) >= room.y
        assert max(box.right for box, _ in boxes) <= room.x + room.wide + 1e-6
        assert max(box.bottom for box, _ in boxes) <= room.y + room.high
        texts = [box for box, mark in boxes if isinstance(mark, Text)]
        assert not any(one.overlaps(other) for one, other in combinations(texts, 2))
        assert any(drawing.key in mark.text for _, mark in boxes if isinstance(mark, Text))


@pytest.mark.parametrize(("size", "show"), LOOKS)
def test_words_are_whole_or_left_out(size: str, show: str) -> None:
    chart = made(chords="C:4", choruses=1, title=LONG).chart
    view = HeadView(chart, look(size, show))
    words = ("drums and comping out", "drums and comping out, pedal C")
    place, meter = "solos, 2nd of 3: 1st A", Meter.parse("4/4")
    drawing = Shown(place, (words[0], "pedal C"), "B♭ minor", meter, 120, False)
    said = [mark.text for mark in view.marks(drawing) if isinstance(mark, Text)]
    told = [
        text for text in said if text in ("drums and comping out", "drums and comping out, pedal C")
    ]
    cut = [text for text in said if text.endswith("…")]
    assert place in said
    assert len(told) == (size != "square")
    assert all(LONG.startswith(text.removesuffix("…").rstrip()) for text in cut)
