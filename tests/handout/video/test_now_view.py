"""The chord now and to come, when it comes, beats and bars, at each moment."""

from __future__ import annotations

from collections.abc import Hashable
from fractions import Fraction
from functools import cache
from itertools import combinations, pairwise

import pytest

from groove import library
from groove.band.count_in import clicks
from groove.handout.drawing.page import POINT, Box, Text, ink_box
from groove.handout.video.course import Course
from groove.handout.video.head_view import HeadView
from groove.handout.video.look import Room
from groove.handout.video.now_view import BeatView, ComingView, NowView, now_views, wait_words
from groove.handout.video.place import Places, Wait
from groove.handout.video.view import View
from groove.rhythm.meter import SIGNATURES
from groove.theory.symbols import marked, symbol
from groove.wording import SHIPPED, Wording, said, worded
from tests.handout.video.video_material import FORMS, LOOKS, course, look, made

WIDE_CHORDS = "F#m7b5/C ~Ebmaj7#11/Bb | N.C. | Db7#9b13 G*"


def told(found: Course) -> list[tuple[str, str, str]]:
    """At each moment the chord now, the chord to come and when it comes."""
    places = Places(found)
    rows = []
    for moment in found.moments:
        wait = places.wait(moment)
        words = wait_words(wait) if wait else ""
        rows.append((str(places.now(moment)), str(places.coming(moment)), words))
    return rows


def box_of(room: Room) -> Box:
    return Box(room.x, room.y, room.x + room.wide, room.y + room.high)


def within(box: Box, room: Box) -> bool:
    left, top = box.left - room.left, box.top - room.top
    return min(left, top, room.right - box.right, room.bottom - box.bottom) > -1e-6


@cache
def drawings() -> tuple[frozenset[Hashable], ...]:
    """What each view draws in all forms, and in some with wide chords in each metre."""
    wide = [
        made(chords=WIDE_CHORDS, count_in=2, meter=meter, tempo=190, choruses=1)
        for meter in SIGNATURES
    ]
    found = [*map(course, FORMS), *wide]
    shown = [[view.scene(m).drawing for m in each.moments] for each in found
             for view in now_views(each, look("wide"))]  # fmt: skip
    return tuple(frozenset(x for some in shown[view::5] for x in some) for view in range(5))


def test_pushes_silence_and_the_end_are_told_as_they_are() -> None:
    found = made(chords="C ~F | N.C. | G7*", choruses=1, count_in=1, ending="loop")
    assert told(found) == [
        ("None", "C", "in 4 beats"),
        ("None", "C", "in 3 beats"),
        ("None", "C", "in 2 beats"),
        ("None", "C", "in 1 beat"),
        ("C", "~F", "in 2 beats, early"),
        ("C", "~F", "in 1 beat, early"),
        ("F", "N.C.", "in 2 beats"),
        ("F", "N.C.", "in 1 beat"),
        ("N.C.", "G*", "in 4 beats"),
        ("N.C.", "G*", "in 3 beats"),
        ("N.C.", "G*", "in 2 beats"),
        ("N.C.", "G*", "in 1 beat"),
        ("G*", "None", "in 4 beats"),
        ("G*", "None", "in 3 beats"),
        ("G*", "None", "in 2 beats"),
        ("G*", "None", "in 1 beat"),
        ("G*", "None", ""),
    ]


def test_an_order_leads_from_section_to_section() -> None:
    sections = [{"name": "A", "chords": "C | F"}, {"name": "B", "chords": "F | Ab"}]
    found = made(sections=sections, order=["A, B, A"], meter="3/4", count_in=0, ending="loop")
    starts = [row for row in told(found) if row[2] not in ("in 2 beats", "in 1 beat")]
    assert starts == [
        ("C", "F", "in 3 beats"),
        *3 * [("F", "A♭", "in 2 bars")],  # goes on over the line from A to B
        ("F", "A♭", "in 3 beats"),
        ("A♭", "C", "in 3 beats"),
        ("C", "F", "in 3 beats"),
        ("F", "None", "in 3 beats"),
        ("F", "None", ""),
    ]


def test_bars_of_a_long_chord_are_counted_down_and_then_its_beats() -> None:
    found = made(chords="Dm7:8 Ebm7:1", choruses=1, count_in=0, ending="loop")
    counted = [row[2] for row in told(found)[::4]][:8]
    assert counted == [f"in {bars} bars" for bars in range(8, 1, -1)] + ["in 4 beats"]


@pytest.mark.parametrize(
    ("meter", "words"),
    [
        ("12/8", ["in 2 bars", "in 4 beats"]),
        ("6/8", ["in 2 bars", "in 2 beats"]),
        ("7/8", ["in 2 bars", "in 3 beats"]),
        ("5/8", ["in 2 bars", "in 2 beats"]),
        ("3/8", ["in 2 bars", "in 1 beat"]),
        ("2/2", ["in 2 bars", "in 2 beats"]),
    ],
)
def test_felt_beats_are_counted(meter: str, words: list[str]) -> None:
    found = made(chords="C:2 F:1", meter=meter, choruses=1, count_in=0, ending="loop")
    beats = found.chart.bars[0].meter.beats
    assert [told(found)[0][2], told(found)[beats][2]] == words


def test_a_chord_between_two_beats_comes_in_parts_of_a_beat() -> None:
    found = made(chords="C:3/8 F:5/8", choruses=1, count_in=0, ending="loop")
    assert told(found)[:4] == [
        ("C", "F", "in 1½ beats"),
        ("C", "F", "in ½ beat"),
        ("F", "None", "in 2½ beats"),
        ("F", "None", "in 2 beats"),
    ]


def test_nothing_is_counted_while_a_chord_is_held() -> None:
    section = {"name": "A", "chords": "C | F | G", "fermata": "2"}
    found = made(sections=[section], choruses=1, count_in=0, ending="loop")
    words = [row[2] for row in told(found)]
    assert words[4:8] == ["hold"] * 4
    assert words[8] == "in 4 beats"
    _, _, _, beat, _ = now_views(found, look("wide"))
    assert [bool(beat.scene(moment).fills) for moment in found.moments[3:9]] == (
        [True] + 4 * [False] + [True]
    )


def test_a_last_chord_that_rings_is_held() -> None:
    assert [row[1:] for row in told(made(chords="C:4", ending="ring"))][-5:-1] == 4 * [
        ("None", "hold")
    ]


@pytest.mark.parametrize("name", FORMS)
def test_what_is_told_comes_true(name: str) -> None:
    found = course(name)
    places, moments = Places(found), found.moments
    whole = all((m.bar, m.beat) != (n.bar, n.beat) for m, n in pairwise(moments[:-1]))
    first = next(n for n, moment in enumerate(moments) if moment.bar >= 0)
    assert moments[first].beat == 0
    for at, moment in enumerate(moments[first:-1], first):
        tick, bar = places.tick(moment), found.chart.bars[moment.bar]
        slot = next(slot for slot in bar.slots if slot.start <= tick < slot.end)
        here = marked(
            symbol(slot.chord), pushed=False, silent=slot.silent, root_only=slot.root_only
        )
        assert places.now(moment) == here
        wait = places.wait(moment)
        assert wait
        if wait.unit == "beats" and whole:
            goal = moments[at + int(wait.number)]
            coming = str(places.coming(moment)).removeprefix("~")
            assert coming == (str(places.now(goal)) if goal != moments[-1] else "None")
            assert places.now(moments[at + int(wait.number) - 1]) == here
        if wait.unit == "bars":
            goals = [m for m in moments if m.bar == moment.bar + wait.number]
            assert not goals or places.now(goals[-1]) != here or places.coming(moment) is None


@pytest.mark.parametrize(
    ("values", "counted"),
    [
        ({"tempo": 120}, "1 2 3 4"),
        ({"tempo": 200}, "1 1 2 2 1 2 3 4"),
        ({"tempo": 50, "meter": "12/8"}, "1 2 3 2 2 3 3 2 3 4 2 3"),
        ({"tempo": 50, "meter": "6/8"}, "1 2 3 2 2 3"),
        ({"tempo": 90, "meter": "12/8"}, "1 2 3 4"),
        ({"tempo": 100, "meter": "7/8"}, "1 2 3"),
        ({"tempo": 200, "meter": "3/4"}, "1 1 1 1 2 3"),
        ({"tempo": 120, "tuning_note": True}, "1 2 3 4"),
    ],
)
def test_the_count_in_is_counted_as_the_band_clicks_it(
    values: dict[str, object], counted: str
) -> None:
    found = made(chords="C:4", **values)
    places = Places(found)
    ticks = {m: round(found.chart.tempi.ticks(m.seconds)) for m in found.moments}
    shown = {ticks[m]: places.count(m) for m in found.moments if places.count(m)}
    assert " ".join(map(str, shown.values())) == counted
    clicked = [note.start for note in clicks(found.chart)]
    assert set(clicked) <= set(shown)
    counts, before = [], 0
    for tick, number in shown.items():
        if tick in clicked or number != before:
            counts.append(tick)
        before = number
    assert counts == clicked


def test_moments_between_beats_show_what_the_beat_shows() -> None:
    found = made(chords="C ~F:2 G", tempo=50, meter="12/8", tuning_note=True)
    more = found.with_times(moment.seconds + 0.1 for moment in found.moments)
    assert len(more.moments) == 2 * len(found.moments)
    for view in (*now_views(found, look("wide")), HeadView(found.chart, look("wide"))):
        scenes = [view.scene(moment) for moment in more.moments]
        assert scenes[::2] == scenes[1::2]


def test_before_the_count_in_nothing_is_counted() -> None:
    found = made(chords="C:4", tuning_note=True)
    views = now_views(found, look("wide"))
    now, coming, wait, beat, bar = (view.scene(found.moments[0]) for view in views)
    assert (wait.drawing, bar.drawing, beat.fills) == ("", "tuning note", ())
    assert now.drawing == ("", "bold")
    assert str(coming.drawing) == "C"


def test_chords_of_the_pickup_sound_in_the_count_in() -> None:
    found = made(chords="C:4", pickup="G7:1/4", tempo=100)
    assert told(found)[:5] == [
        ("None", "G7", "in 3 beats"),
        ("None", "G7", "in 2 beats"),
        ("None", "G7", "in 1 beat"),
        ("G7", "C", "in 1 beat"),
        ("C", "None", told(found)[4][2]),
    ]


def test_bars_are_counted_in_the_section_or_the_chorus() -> None:
    found = course(next(name for name in FORMS if name.endswith("latin-swing-aaba.toml")))
    bar = now_views(found, look("wide"))[4]
    words = {m.bar: bar.scene(m).drawing for m in found.moments}
    assert [words[n] for n in (-1, 0, 3, 4, 8, 15, 212)] == [
        "count-in", "bar 1 of 4", "bar 4 of 4", "bar 1 of 4", "bar 1 of 8", "bar 8 of 8",
        "bar 1 of 1",
    ]  # fmt: skip
    blues = course("twelve-bar")
    bar = now_views(blues, look("wide"))[4]
    words = {m.bar: bar.scene(m).drawing for m in blues.moments}
    assert [words[n] for n in (0, 11, 12, 35)] == [
        "bar 1 of 12", "bar 12 of 12", "bar 1 of 12", "bar 12 of 12",
    ]  # fmt: skip


@pytest.mark.parametrize(("size", "show"), LOOKS)
def test_rooms_lie_beside_each_other(size: str, show: str) -> None:
    shape = look(size, show)
    rooms = [box_of(view.room) for view in now_views(course("twelve-bar"), shape)]
    whole = box_of(shape.rooms["now"])
    for room in rooms:
        assert whole.left <= room.left < room.right <= whole.right + 1e-6
        assert whole.top <= room.top < room.bottom <= whole.bottom + 1e-6
    smaller = [Box(r.left, r.top, r.right - 1e-6, r.bottom - 1e-6) for r in rooms]
    assert not any(one.overlaps(other) for one, other in combinations(smaller, 2))


@pytest.mark.parametrize(("size", "show"), LOOKS)
def test_all_marks_lie_in_their_rooms(size: str, show: str) -> None:
    views = now_views(course("one-chord-vamp"), look(size, show))
    for view, drawn in zip(views, drawings(), strict=True):
        assert drawn
        marks = [(mark, drawing) for drawing in drawn for mark in view.marks(drawing)]
        boxes = [(box, drawing) for mark, drawing in marks if (box := ink_box(mark))]
        assert [each for each in boxes if not within(each[0], box_of(view.room))] == []


@pytest.mark.parametrize(("size", "show"), LOOKS)
@pytest.mark.parametrize("words", [SHIPPED, Wording(library.load("words", "german"))])
def test_no_words_are_cut(size: str, show: str, words: Wording) -> None:
    with worded(words):
        *_, wait, _, bar = now_views(course("one-chord-vamp"), look(size, show))
        waits = [Wait(unit, Fraction(n), early) for unit in ("beats", "bars")
                 for n in (1, 7, Fraction(11, 2)) for early in (False, True)]  # fmt: skip
        told = [(wait_words(each), wait) for each in (*waits, Wait("bars", Fraction(24)))]
        told.append((wait_words(Wait("hold")), wait))
        told += [(said("video", f"bar.{name}"), bar) for name in ("count_in", "tuning")]
        told.append((said("video", "bar.place", number=64, bars=64), bar))
        for text, view in told:
            (mark,) = view.marks(text)
            assert isinstance(mark, Text)
            assert mark.text == text


@pytest.mark.parametrize(("size", "show"), LOOKS)
@pytest.mark.parametrize("meter", ["2/4", "4/4", "7/8", "7/4"])
def test_the_fill_lies_under_the_number_of_the_beat(size: str, show: str, meter: str) -> None:
    found = made(chords="C:2", meter=meter, choruses=1, ending="loop")
    view = now_views(found, look(size, show))[3]
    beats = found.chart.bars[0].meter.beats
    numbers = [ink_box(mark) for mark in view.marks(found.chart.bars[0].meter)]
    for moment in found.moments[:-1]:
        scene = view.scene(moment)
        (under,) = [box_of(Room(f.x, f.y, f.wide, f.high)) for f in scene.fills]
        assert within(under, box_of(view.room))
        assert [box is not None and within(box, under) for box in numbers] == [
            beat == moment.beat % beats for beat in range(beats)
        ]
        assert sum(box is not None and box.overlaps(under) for box in numbers) == 1


@pytest.mark.parametrize(("size", "show"), LOOKS)
def test_the_chord_now_is_larger_than_the_one_to_come(size: str, show: str) -> None:
    shape = look(size, show)
    found = made(chords=WIDE_CHORDS)
    now, coming, *_ = now_views(found, shape)
    assert isinstance(now, NowView)
    assert isinstance(coming, ComingView)

    def sizes(view: View) -> list[float]:
        drawn = [view.marks(view.scene(m).drawing) for m in found.moments if m.bar >= 0]
        return [mark.size for marks in drawn for mark in marks[:1] if isinstance(mark, Text)]

    assert max(sizes(coming)) <= 0.6 * min(sizes(now)) + 1e-6
    assert min(sizes(now)) >= shape.least  # no smaller than the smallest chord of the chart


@pytest.mark.parametrize(("size", "show"), LOOKS)
@pytest.mark.parametrize("chords", ["Ebmaj7 Cm7 Abmaj7 Am7b5", WIDE_CHORDS, "C F"])
def test_the_chord_to_come_stands_an_em_from_the_chord_now_or_below(
    size: str, show: str, chords: str
) -> None:
    found = made(chords=chords)
    now, coming, *_ = now_views(found, look(size, show))
    beside = 0
    for moment in found.moments:
        here, there = (
            [mark for mark in view.marks(view.scene(moment).drawing) if ink_box(mark)]
            for view in (now, coming)
        )
        if not here or not there:
            continue
        right, left = (max(b.right for m in here if (b := ink_box(m))),
                       min(b.left for m in there if (b := ink_box(m))))  # fmt: skip
        if coming.room.y < now.room.y + now.room.high:
            assert isinstance(there[0], Text)
            assert left - right >= 0.95 * there[0].size * POINT  # signs reach a little out
            beside += 1
    assert beside or (size, show) == ("wide", "neck")


@pytest.mark.parametrize(("size", "show"), LOOKS)
@pytest.mark.parametrize("meter", ["2/4", "4/4", "7/8"])
def test_a_beat_changes_a_small_part_of_the_frame(size: str, show: str, meter: str) -> None:
    # WCAG 2.3.1 lets anything flash that covers less than a quarter of 10 degrees of the field of
    # view: 21,824 of the 1024 x 768 pixels of its example.
    shape = look(size, show)
    found = made(chords="C:2", meter=meter, tempo=160)
    beat = next(v for v in now_views(found, shape) if isinstance(v, BeatView))
    fills = {beat.scene(moment).fills for moment in found.moments}
    areas = [fill.wide * fill.high for some in fills for fill in some]
    assert len(areas) == found.chart.bars[0].meter.beats
    assert 2 * max(areas) < 0.5 * 21824 / (1024 * 768) * shape.width * shape.height
    assert len({beat.scene(moment).drawing for moment in found.moments}) == 1
