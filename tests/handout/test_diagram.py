"""Fretboards, keyboards and tablature as drawn."""

from collections.abc import Callable, Sequence
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.errors import GrooveError
from groove.handout.diagram import (
    LABELS,
    ROLE_WORDS,
    draw_dot,
    draw_fretboard,
    draw_legend,
    fretboard_size,
    shown_frets,
)
from groove.handout.diagram_tab import draw_tab, tab_size
from groove.handout.fretboard import Place, Tuning
from groove.handout.keyboard import draw_keyboard, keyboard_size, keys
from groove.handout.material import Material, arpeggio, scale
from groove.handout.page import SMALLEST, Circle, Line, Mark, Rect, Shape, Text, ink_box
from groove.handout.positions import at_fret, positions
from groove.theory.chords import parse_chord
from tests.handout.fret_material import GUITAR, materials, shipped_tunings

EDGE = 3.0  # mm that dots on the outermost frets and strings may stand out by


def middles(marks: Sequence[Mark]) -> list[tuple[float, float, str]]:
    return sorted(
        (round(m.x, 3), round(m.y, 3), m.text) for m in marks if isinstance(m, Text)
    )  # fmt: skip


def texts_apart(marks: Sequence[Mark]) -> bool:
    boxes = [box for m in marks if isinstance(m, Text) and (box := ink_box(m))]
    return not any(a.overlaps(b) for a, b in combinations(boxes, 2))


@settings(max_examples=40)
@given(shipped_tunings, materials, st.sampled_from(LABELS), st.booleans())
def test_no_text_lies_on_another_and_none_is_too_small(
    tuning: Tuning, material: Material, label: str, left_handed: bool
) -> None:
    for position in positions(tuning, material):
        marks = draw_fretboard(
            tuning, position, x=0, y=0, label=label, left_handed=left_handed, title="T",
            fret_width=6.9,
        )  # fmt: skip
        assert texts_apart(marks)
        assert all(mark.size >= SMALLEST for mark in marks if isinstance(mark, Text))


@settings(max_examples=40)
@given(shipped_tunings, materials)
def test_neck_for_the_left_hand_is_the_mirror(tuning: Tuning, material: Material) -> None:
    position = positions(tuning, material)[0]
    wide, _ = fretboard_size(tuning, position)
    right = middles(draw_fretboard(tuning, position, x=10, y=5))
    left = middles(draw_fretboard(tuning, position, x=10, y=5, left_handed=True))
    assert left == sorted((round(20 + wide - x, 3), y, text) for x, y, text in right)


@settings(max_examples=40)
@given(shipped_tunings, materials, st.booleans())
def test_diagram_keeps_within_its_size(
    tuning: Tuning, material: Material, left_handed: bool
) -> None:
    for position in positions(tuning, material):
        wide, high = fretboard_size(tuning, position, title="1")
        marks = draw_fretboard(
            tuning, position, x=0, y=0, left_handed=left_handed, title="1"
        )  # fmt: skip
        for box in filter(None, map(ink_box, marks)):
            assert box.left >= -EDGE
            assert box.right <= wide + EDGE
            assert box.top >= -0.2
            assert box.bottom <= high + 0.2


def test_dots_lie_on_their_strings_and_frets() -> None:
    position = at_fret(GUITAR, scale("A", "minor pentatonic"), 5)
    marks = draw_fretboard(GUITAR, position, x=0, y=0, label="name")
    numbers = {m.text: m.x for m in marks if isinstance(m, Text) and m.text.isdigit()}
    levels = sorted({m.y1 for m in marks if isinstance(m, Line) and m.y1 == m.y2})
    drawn = [m for m in marks if isinstance(m, Text) and not m.text.isdigit()]
    assert len(drawn) == len(position.dots)
    for dot, text in zip(position.dots, drawn, strict=True):
        assert text.text == dot.name
        assert text.x == pytest.approx(numbers[str(dot.fret)])
        nearest = min(range(6), key=lambda n: abs(levels[n] - text.y))
        assert nearest + 1 == dot.string


def test_root_third_fifth_and_seventh_differ_by_shape() -> None:
    def outline(role: str) -> object:
        shape = draw_dot(0, 0, role, "1")[0]
        if isinstance(shape, Shape):
            return shape.points
        if isinstance(shape, Rect):
            return "box" if shape.width else "bare"
        assert isinstance(shape, Circle)
        return "circle"

    assert len({outline(role) for role in (*ROLE_WORDS, "other")}) == 5


def test_nut_is_thick_only_where_the_neck_begins() -> None:
    def thick(fret: int) -> int:
        marks = draw_fretboard(GUITAR, at_fret(GUITAR, scale("A", "major"), fret), x=0, y=0)
        return sum(isinstance(mark, Line) and mark.width > 0.5 for mark in marks)

    assert thick(1) == 1
    assert thick(5) == 0


def test_several_positions_can_show_the_same_frets() -> None:
    found = [at_fret(GUITAR, arpeggio(parse_chord(c)), 4) for c in ("A7", "D7", "E7")]
    frets = shown_frets(GUITAR, [dot for position in found for dot in position.dots])
    assert len({fretboard_size(GUITAR, position, frets=frets) for position in found}) == 1


def test_diagram_at_the_end_of_the_neck_shows_no_fret_beyond_it() -> None:
    position = at_fret(GUITAR, scale("E", "major pentatonic"), 21)
    assert shown_frets(GUITAR, position.dots)[1] == GUITAR.frets


@pytest.mark.parametrize("draw", ["fretboard", "keyboard"])
def test_unknown_label_is_an_error_that_names_the_known(draw: str) -> None:
    material = scale("A", "major")
    calls: dict[str, Callable[[], object]] = {
        "fretboard": lambda: draw_fretboard(
            GUITAR, at_fret(GUITAR, material, 5), x=0, y=0, label="names"
        ),
        "keyboard": lambda: draw_keyboard(material, x=0, y=0, label="names"),
    }
    with pytest.raises(GrooveError, match=r"'names' is not known.*name"):
        calls[draw]()


def test_legend_names_the_four_shapes() -> None:
    words = [mark.text for mark in draw_legend(x=0, y=0) if isinstance(mark, Text)]
    assert words == ["1", "root", "3", "3rd", "5", "5th", "7", "7th"]
    assert texts_apart(draw_legend(x=0, y=0))


@given(materials)
def test_keyboard_has_every_tone_twice(material: Material) -> None:
    found = keys(material)
    for tone in {t.pitch_class: t for t in material.tones}.values():
        assert [k.name for k in found if k.pitch % 12 == tone.pitch_class] == [tone.name] * 2


@given(materials, st.sampled_from(["degree", "name"]))
def test_keyboard_texts_are_apart_and_within(material: Material, label: str) -> None:
    marks = draw_keyboard(material, x=0, y=0, label=label, title="C")
    wide, high = keyboard_size("C")
    assert texts_apart(marks)
    for box in filter(None, map(ink_box, marks)):
        assert box.left >= -0.3
        assert box.right <= wide + 0.3
        assert box.bottom <= high + 0.3


def test_keyboard_dots_lie_on_their_keys() -> None:
    marks = draw_keyboard(scale("C", "major"), x=0, y=0, label="name")
    xs = [mark.x for mark in marks if isinstance(mark, Text)]
    width = keyboard_size()[0] / 14
    assert xs == pytest.approx([width * (n + 0.5) for n in range(14)])


def test_drawn_tablature_has_each_fret_on_its_string() -> None:
    columns = [[Place(6, 12)], [Place(1, 0), Place(3, 11)]]
    marks = draw_tab(GUITAR, columns, x=0, y=0, marks=["b3", "5"])
    levels = sorted({m.y1 for m in marks if isinstance(m, Line) and m.y1 == m.y2})
    frets = [m for m in marks if isinstance(m, Text) and m.face == "bold"]
    found = [(min(range(6), key=lambda n: abs(levels[n] - m.y)) + 1, m.text) for m in frets]
    assert found == [(6, "12"), (1, "0"), (3, "11")]
    assert texts_apart(marks)
    wide, high = tab_size(GUITAR, 2, marked=True)
    boxes = [box for box in map(ink_box, marks) if box]
    assert max(box.right for box in boxes) <= wide + 0.2
    assert max(box.bottom for box in boxes) <= high + 0.2
