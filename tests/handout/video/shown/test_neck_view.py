"""The neck beside the chart shows what sheet and practice page say, for the chord that sounds."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from groove.errors import OptionError
from groove.form.read import read_form
from groove.handout.drawing.fretboard import fret_middle, string_level
from groove.handout.drawing.page import Text
from groove.handout.sheet.sheet import write_sheet
from groove.handout.video.shown.neck_view import NeckView
from groove.handout.video.shown.over_chords import OverChord
from groove.handout.video.shown.scale_view import EDGE, TITLE_HEIGHT
from groove.instrument.positions import Dot
from groove.lesson.chord_guides import ChordGuide
from groove.lesson.form_scales import Choice
from groove.lesson.guide import write_guide
from groove.lesson.neck_scales import neck_scales
from groove.theory.symbols import noted
from tests.handout.video.shown.shown_material import (
    FORMS,
    SIZES,
    a_form,
    drawings,
    outside,
    shape_at,
    shown,
)

ADDED = " + chord tones"
ARRANGEMENTS = Path(__file__).parents[3] / "arrangements"
KEYS = {"twelve-bar": ("A", "Eb"), "rhythm-changes": ("Bb", "D"), "minor-twelve-bar": ("Am", "Fm")}


@cache
def a_neck(name: str, size: str = "wide", key: str = "", **asked: object) -> NeckView:
    fields = {"key": key} if key else {}
    if "learner" in asked:
        fields["learner"] = str(asked.pop("learner"))
    view = shown(a_form(name, **fields), "neck", size, **asked)
    assert isinstance(view, NeckView)
    return view


def place_of(view: NeckView, dot: Dot, number: int) -> tuple[float, float]:
    """The middle of a dot on the frame."""
    x = fret_middle(
        view.tuning, view.positions[number], dot.fret,
        left_handed=view.left_handed, fret_width=view.fret_width,
    )  # fmt: skip
    y = TITLE_HEIGHT + string_level(dot.string)
    return view.room.x + (x + EDGE / 2) * view.factor, view.room.y + y * view.factor


def scale_of(over: OverChord, entry: ChordGuide) -> Choice:
    """The scale of a title, one of those that the sheet recommends for a chord."""
    named = [choice for choice in entry.choices[1:] if not choice.tag]
    return next(choice for choice in named if choice.title == over.title.removesuffix(ADDED))


@pytest.mark.parametrize(("name", "key"), [(n, k) for n in FORMS for k in KEYS[n]])
def test_dots_are_those_of_the_sheet_over_each_chord(name: str, key: str) -> None:
    view = a_neck(name, key=key)
    sheet = write_sheet(a_form(name, key=key))
    entries = zip(sheet.guide.chords, sheet.on_neck, strict=True)
    chords = {entry.chord: (entry, on.under_hand) for entry, on in entries}
    assert {over.chord for over in view.overs} <= set(chords)
    for number, over in enumerate(view.distinct):
        entry, hand = chords[over.chord]
        position = view.positions[number]
        inside = [dot for dot in position.dots if over.look(dot.pitch) in ("root", "chord")]
        assert set(inside) == set(hand.dots)
        assert position.fret == hand.fret
        scale = scale_of(over, entry)
        assert {t.pitch_class for t in over.notes.tones} == over.inside | {
            tone.pitch_class for tone in scale.notes
        }
        assert over.passing == {tone.pitch_class for tone in scale.avoid} - over.inside


@pytest.mark.parametrize("learner", ["beginner", "intermediate"])
def test_a_title_that_names_a_scale_alone_shows_that_scale(learner: str) -> None:
    """Else it says that chord tones are added."""
    for name in (*FORMS, "jazz-twelve-bar"):
        view = a_neck(name, learner=learner)
        titles = [over.title for over in view.distinct]
        for over in view.distinct:
            scales = [c for e in write_guide(view.chart.form).chords for c in e.choices]
            named = next(c for c in scales if c.title == over.title.removesuffix(ADDED))
            more = over.inside - {note.pitch_class for note in named.notes}
            assert bool(more) == over.title.endswith(ADDED)
            shown_here = {tone.pitch_class for tone in over.notes.tones}
            assert shown_here == {note.pitch_class for note in named.notes} | more
        plain = sum(not title.endswith(ADDED) for title in titles)
        assert (plain == len(titles)) == (name in ("rhythm-changes", "minor-twelve-bar")) or (
            learner == "beginner"
        )


def test_each_chord_of_a_bridge_has_a_scale_with_all_its_tones() -> None:
    view = a_neck("rhythm-changes", key="Ab")
    titles = {str(over.chord): over.title for over in view.distinct}
    assert titles["Bbm7"] == "B♭ minor pentatonic"
    assert titles["Eb7"] == "E♭ mixolydian"


def test_the_legend_says_from_where_numbers_count() -> None:
    for dots, words in (("degrees", "1: the chord's root"), ("names", "root")):
        view = a_neck("twelve-bar", "square", dots=dots)
        texts = {m.text for m in view.marks((0, None)) if isinstance(m, Text)}
        assert {words} == texts & {"1: the chord's root", "root"}


@pytest.mark.parametrize("left_handed", [False, True])
def test_each_dot_is_drawn_where_it_lies_with_its_look_and_degree(left_handed: bool) -> None:
    view = a_neck("rhythm-changes", left_handed=left_handed)
    for number, over in enumerate(view.distinct):
        marks = view.marks((number, None))
        texts = [mark for mark in marks if isinstance(mark, Text) and mark.face == "bold"]
        for dot in view.positions[number].dots:
            x, y = place_of(view, dot, number)
            assert shape_at(marks, x, y) == over.look(dot.pitch)
            near = [t for t in texts if abs(t.x - x) < 0.01 and abs(t.y - y) < view.factor * 2]
            assert [text.text for text in near] == [noted(dot.degree)]


@pytest.mark.parametrize("size", SIZES)
def test_the_longest_titles_are_whole(size: str) -> None:
    """Also in German, whose words are longer."""
    form = a_form("jazz-twelve-bar", key="Bb", words="german")
    view = shown(form, "neck", size)
    assert isinstance(view, NeckView)
    for number, over in enumerate(view.distinct):
        assert any(m.text == over.title for m in view.marks((number, None)) if isinstance(m, Text))


def test_for_the_left_hand_low_frets_lie_on_the_right() -> None:
    for left_handed in (False, True):
        view = a_neck("twelve-bar", left_handed=left_handed)
        low, high = view.positions[0].dots[0], view.positions[0].dots[1]
        assert low.fret < high.fret
        assert (place_of(view, low, 0)[0] > place_of(view, high, 0)[0]) == left_handed


@pytest.mark.parametrize("dots", ["names", "fingers"])
def test_dots_say_what_is_asked_for(dots: str) -> None:
    view = a_neck("twelve-bar", dots=dots)
    words = {m.text for m in view.marks((0, None)) if isinstance(m, Text) and m.face == "bold"}
    (title,) = {over.title for over in view.distinct}
    said = {noted(d.name) if dots == "names" else str(d.finger) for d in view.positions[0].dots}
    assert words - {""} == {title, *said}


def test_the_hand_stays_where_it_is_asked_to() -> None:
    view = a_neck("twelve-bar", position=7)
    assert {position.fret for position in view.positions} == {7}
    assert any("fret 7" in m.text for m in view.marks((0, None)) if isinstance(m, Text))


def test_all_chords_show_the_same_frets() -> None:
    for name in FORMS:
        assert len({position.frets for position in a_neck(name).positions}) == 1


def test_the_chord_that_sounds_is_shown_and_in_the_count_in_the_first() -> None:
    view = a_neck("rhythm-changes")
    for moment in view.course.moments:
        number, _ = view.scene(moment).drawing  # type: ignore[misc]
        slot = view.course.chords[max(0, moment.chord)]
        assert view.distinct[number].chord == slot.chord


def test_the_next_root_is_framed_in_the_second_half_of_a_chord() -> None:
    view = a_neck("twelve-bar")
    framed = []
    for moment in view.course.moments:
        number, coming = view.scene(moment).drawing  # type: ignore[misc]
        if coming is not None:
            after = view.course.chords[moment.chord + 1]
            assert view.distinct[coming].chord == after.chord
            assert after.start - view.chart.bars[moment.bar].start <= view.chart.bars[0].length
            with_frames, without = view.marks((number, coming)), view.marks((number, None))
            roots = [
                dot
                for dot in view.positions[coming].dots
                if dot.pitch % 12 == after.chord.root.pitch_class
            ]
            assert len(with_frames) - len(without) == len(roots) > 0
        framed.append(coming is not None)
    assert 0 < sum(framed) < len(framed) / 2


def test_each_key_of_a_cycle_has_its_own_notes() -> None:
    view = shown(a_form("i-v-vi-iv", key="C", key_cycle="up"), "neck")
    assert isinstance(view, NeckView)
    tops = [view.overs[view.course.chords.index(slot)] for slot in view.course.chords]
    first = {over.home: over.title for over in reversed(tops)}
    assert [str(home.tonic) for home in dict.fromkeys(over.home for over in tops)] == ["C", "Db"]
    assert sorted(first.values()) == ["C major pentatonic", "D♭ major pentatonic"]


def test_a_beginner_has_one_scale_for_all_chords_as_on_the_sheet() -> None:
    form = a_form("jazz-twelve-bar", learner="beginner")
    view = shown(form, "neck")
    assert isinstance(view, NeckView)
    (title,) = {over.title.removesuffix(ADDED) for over in view.overs}
    (only,) = neck_scales(write_sheet(form).guide, view.tuning)
    assert title == only.choice.title
    assert len({over.inside for over in view.overs}) == len(view.distinct) > 3


def test_a_section_in_another_key_has_its_own_scale() -> None:
    view = shown(read_form(ARRANGEMENTS / "modal-vamp.toml"), "neck")
    assert isinstance(view, NeckView)
    sections = {section.name: section for section in write_guide(view.chart.form).sections}
    checked = set()
    for slot, over in zip(view.course.chords, view.overs, strict=True):
        played = next(p for p in view.chart.passes if p.start <= slot.start < p.end)
        if over.home != view.chart.form.key:
            continue
        entries = {entry.chord: entry for entry in sections[played.section.name].chords}
        if slot.chord in entries:
            assert scale_of(over, entries[slot.chord])
            checked.add((str(slot.chord), over.title))
    assert {("Dm9", "D dorian"), ("Dm9", "D natural minor")} <= checked


def test_a_chord_that_only_the_ending_has_gets_its_own_notes() -> None:
    form = replace(a_form("twelve-bar"), ending="tag")
    view = shown(form, "neck")
    assert isinstance(view, NeckView)
    assert len(view.overs) == len(view.course.chords)
    for over, slot in zip(view.overs, view.course.chords, strict=True):
        own = {tone.pitch_class for tone in slot.chord.notes}
        assert own <= {tone.pitch_class for tone in over.notes.tones}


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("instrument", ["guitar", "bass", "ukulele"])
def test_marks_lie_in_the_room(size: str, instrument: str) -> None:
    view = a_neck("jazz-twelve-bar", size, instrument=instrument, left_handed=size == "wide")
    for marks in drawings(view, view.course.moments):
        assert outside(view, marks) == []


@pytest.mark.parametrize("size", SIZES)
def test_type_on_the_dots_is_large(size: str) -> None:
    """At least a fortieth of the frame's shorter side: 9 px of 360."""
    view = a_neck("twelve-bar", size)
    label = next(m for m in view.marks((0, None)) if isinstance(m, Text) and m.text == "♭3")
    assert label.size * 25.4 / 72 >= 180 / 40


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"instrument": "keyboard"}, "show"),
        ({"position": 30}, "position"),
        ({"dots": "colours"}, "dots"),
        ({"instrument": "kazoo"}, "instrument"),
    ],
)
def test_what_a_neck_cant_show_is_said(asked: dict[str, object], field: str) -> None:
    with pytest.raises(OptionError, match=f"^{field}: "):
        shown(read_form("twelve-bar"), "neck", **asked)


def test_another_name_is_said_with_those_that_there_are() -> None:
    with pytest.raises(OptionError, match=r"^show: found 'nek'; did you mean neck\?"):
        shown(read_form("twelve-bar"), "nek")
