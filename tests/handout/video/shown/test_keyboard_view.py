"""The keyboard beside the chart shows the same notes as sheet and neck, on keys."""

from functools import cache

import pytest

from groove.errors import OptionError
from groove.handout.drawing.keyboard import key_middle, keyboard_size
from groove.handout.drawing.page import Rect, Text
from groove.handout.sheet.sheet import write_sheet
from groove.handout.video.shown.keyboard_view import EDGE, KeyboardView
from groove.handout.video.shown.scale_view import TITLE_HEIGHT
from groove.instrument.keyboard import MIDDLE_C, keys
from groove.instrument.material import arpeggio
from groove.lesson.request import Request
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


@cache
def a_keyboard(name: str, size: str = "wide", key: str = "", **asked: object) -> KeyboardView:
    theme = str(asked.pop("theme", "light"))
    form = a_form(name, **({"key": key} if key else {}))
    view = shown(form, "keyboard", size, theme, **asked)
    assert isinstance(view, KeyboardView)
    return view


def place_of(view: KeyboardView, pitch: int) -> tuple[float, float]:
    """The middle of the dot on a key, on the frame."""
    x, y = key_middle(pitch)
    wide, _ = keyboard_size(octaves=view.octaves)
    beside = (view.room.wide / view.factor - EDGE - wide) / 2 + EDGE / 2
    return (
        view.room.x + (x + beside) * view.factor,
        view.room.y + (y + TITLE_HEIGHT) * view.factor,
    )


@pytest.mark.parametrize("name", FORMS)
def test_keys_of_the_chord_are_those_of_the_sheet(name: str) -> None:
    view = a_keyboard(name)
    sheet = write_sheet(a_form(name), Request(instrument="keyboard"))
    chords = {entry.chord: entry for entry in sheet.guide.chords}
    for over in view.distinct:
        inside = [key for key in view.played(over) if over.look(key.pitch) in ("root", "chord")]
        assert inside == list(keys(arpeggio(chords[over.chord].chord)))
        named = [c for c in chords[over.chord].choices[1:] if not c.tag]
        scale = next(c for c in named if c.title == over.title.removesuffix(" + chord tones"))
        others = {key.pitch % 12 for key in view.played(over)} - over.inside
        assert others == {tone.pitch_class for tone in scale.notes} - over.inside


@pytest.mark.parametrize("size", SIZES)
def test_each_key_is_drawn_where_it_lies_with_its_look_and_degree(size: str) -> None:
    view = a_keyboard("rhythm-changes", size)
    for number, over in enumerate(view.distinct):
        marks = view.marks((number, None))
        texts = [mark for mark in marks if isinstance(mark, Text) and mark.face == "bold"]
        for key in view.played(over):
            x, y = place_of(view, key.pitch)
            assert shape_at(marks, x, y) == over.look(key.pitch)
            near = [t for t in texts if abs(t.x - x) < 0.01 and abs(t.y - y) < 2 * view.factor]
            assert [text.text for text in near] == [noted(key.degree)]


def test_white_keys_are_light_in_the_dark_too() -> None:
    """Where paper is dark, full ink is light: it lies under all white keys, and under no dot."""
    view = a_keyboard("twelve-bar", theme="dark")
    marks = view.marks((0, None))
    x, y = place_of(view, MIDDLE_C)
    under = [m for m in marks if isinstance(m, Rect) and m.x < x < m.x + m.wide and m.fill == 1]
    assert any(m.y < y < m.y + m.high and m.wide > view.room.wide / 2 for m in under)
    over = view.distinct[0]
    root = next(key for key in view.played(over) if over.look(key.pitch) == "root")
    x, y = place_of(view, root.pitch)
    number = next(m for m in marks if isinstance(m, Text) and m.text == "1" and abs(m.x - x) < 0.01)
    assert number.ink == 1.0


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_marks_lie_in_the_room(size: str, theme: str) -> None:
    view = a_keyboard("jazz-twelve-bar", size, theme=theme)
    for marks in drawings(view, view.course.moments):
        assert outside(view, marks) == []


def test_the_root_to_come_is_framed_on_each_of_its_keys() -> None:
    view = a_keyboard("twelve-bar")
    drawing = next(
        scene
        for m in view.course.moments
        if (scene := view.scene(m).drawing)[1] is not None  # type: ignore[index]
    )
    number, _ = drawing  # type: ignore[misc]
    assert len(view.marks(drawing)) - len(view.marks((number, None))) == view.octaves


@pytest.mark.parametrize("size", SIZES)
def test_signs_are_explained_where_notes_to_pass_through_are_among_them(size: str) -> None:
    view = a_keyboard("rhythm-changes", size)
    texts = [m.text for m in view.marks((0, None)) if isinstance(m, Text)]
    assert {"chord tone", "scale tone", "pass through", "next root"} <= set(texts)


def test_keys_have_no_fingers() -> None:
    with pytest.raises(OptionError, match=r"^dots: fingers are only for stringed instruments"):
        a_keyboard("twelve-bar", dots="fingers")
