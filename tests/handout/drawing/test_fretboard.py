"""Fretboards as drawn."""

from collections.abc import Sequence

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from groove.errors import GrooveError
from groove.handout.drawing.fretboard import (
    LABELS,
    ROLES,
    draw_dot,
    draw_fretboard,
    draw_legend,
    fretboard_size,
    legend_height,
)
from groove.handout.drawing.page import SMALLEST, Circle, Line, Mark, Polygon, Rect, Text, ink_box
from groove.instrument.fretboard import Tuning, read_tuning
from groove.instrument.material import Material, arpeggio, scale
from groove.instrument.positions import at_fret, one_position, positions
from groove.theory.chords import parse_chord
from tests.examples import examples
from tests.handout.drawing.drawing_material import texts_apart
from tests.instrument.fret_material import GUITAR, materials, shipped_tunings

EDGE = 3.0  # mm that dots on the outermost frets and strings may stand out by


def middles(marks: Sequence[Mark]) -> list[tuple[float, float, str]]:
    return sorted(
        (round(m.x, 3), round(m.y, 3), m.text) for m in marks if isinstance(m, Text)
    )  # fmt: skip


@settings(max_examples=examples(40))
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


@settings(max_examples=examples(40))
@given(shipped_tunings, materials)
def test_neck_for_the_left_hand_is_the_mirror(tuning: Tuning, material: Material) -> None:
    position = positions(tuning, material)[0]
    wide, _ = fretboard_size(tuning, position)
    right = middles(draw_fretboard(tuning, position, x=10, y=5))
    left = middles(draw_fretboard(tuning, position, x=10, y=5, left_handed=True))
    assert left == sorted((round(20 + wide - x, 3), y, text) for x, y, text in right)


@settings(max_examples=examples(40))
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
    drawn = [m for m in marks if isinstance(m, Text) and m.face == "bold"]
    assert len(drawn) == len(position.dots)
    for dot, text in zip(position.dots, drawn, strict=True):
        assert text.text == dot.name
        assert text.x == pytest.approx(numbers[str(dot.fret)])
        nearest = min(range(6), key=lambda n: abs(levels[n] - text.y))
        assert nearest + 1 == dot.string


def test_root_third_fifth_and_seventh_differ_by_shape() -> None:
    def outline(role: str) -> object:
        shape = draw_dot(0, 0, role, "1")[0]
        if isinstance(shape, Polygon):
            return shape.points
        if isinstance(shape, Rect):
            return "box" if shape.width else "bare"
        assert isinstance(shape, Circle)
        return "circle"

    assert len({outline(role) for role in ALL_ROLES}) == len(ALL_ROLES) == 6


def test_nut_is_thick_only_where_the_neck_begins() -> None:
    def thick(fret: int) -> int:
        marks = draw_fretboard(GUITAR, at_fret(GUITAR, scale("A", "major"), fret), x=0, y=0)
        return sum(isinstance(mark, Line) and mark.width > 0.5 for mark in marks)

    assert thick(1) == 1
    assert thick(5) == 0


def test_several_positions_under_one_hand_are_drawn_alike() -> None:
    found = one_position(GUITAR, [arpeggio(parse_chord(c)) for c in ("A7", "D7", "E7")])
    assert len({fretboard_size(GUITAR, position) for position in found}) == 1


def test_diagram_at_the_end_of_the_neck_shows_no_fret_beyond_it() -> None:
    position = at_fret(GUITAR, scale("E", "major pentatonic"), 21)
    assert position.frets[1] == GUITAR.frets


@pytest.mark.parametrize("left_handed", [False, True])
@pytest.mark.parametrize("name", ["guitar", "bass", "ukulele"])
def test_strings_are_named_at_the_nut_and_frets_numbered(name: str, left_handed: bool) -> None:
    tuning = read_tuning(name)
    position = positions(tuning, arpeggio(parse_chord("A7")))[0]
    marks = draw_fretboard(tuning, position, x=0, y=0, left_handed=left_handed, label="name")
    texts = [mark for mark in marks if isinstance(mark, Text)]
    names = sorted(texts[: len(tuning.names)], key=lambda text: text.y)
    assert [text.text for text in names] == [*reversed(tuning.names)]
    others = [text.x for text in texts[len(names) :]]
    assert all((text.x > max(others)) if left_handed else (text.x < min(others)) for text in names)
    numbers = {int(text.text) for text in texts if text.text.isdigit()}
    assert numbers == {n for n in range(position.frets[0], position.frets[1] + 1) if n}


ALL_ROLES = set(ROLES)


def test_legend_of_degrees_names_every_shape_and_the_bare_figures() -> None:
    marks = draw_legend(ALL_ROLES, x=0, y=0)
    words = [mark.text for mark in marks if isinstance(mark, Text)]
    assert words == ["1", "root", "3", "3rd", "5", "5th", "7", "7th", "♭5", "blue note", "4",
                     "bare: any other note, by its step above the root"]  # fmt: skip
    assert texts_apart(marks)


@pytest.mark.parametrize(("label", "says"), [("finger", "fingers, 1 the index"), ("name", "notes")])
def test_legend_says_what_stands_on_the_dots_where_that_is_not_the_degree(
    label: str, says: str
) -> None:
    marks = draw_legend(ALL_ROLES, x=0, y=0, label=label)
    words = [mark.text for mark in marks if isinstance(mark, Text)]
    assert says in words[-1]
    assert not any(char.isdigit() for word in words[:-1] for char in word.strip("3rd5th7"))
    assert texts_apart(marks)
    foot = legend_height(label)
    assert all(box.bottom <= foot for box in filter(None, map(ink_box, marks)))


def test_legend_leaves_out_what_is_not_drawn() -> None:
    words = [m.text for m in draw_legend({"root", "third"}, x=0, y=0) if isinstance(m, Text)]
    assert words == ["1", "root", "3", "3rd"]


def test_unknown_label_is_an_error_that_names_the_known() -> None:
    position = at_fret(GUITAR, scale("A", "major"), 5)
    with pytest.raises(GrooveError, match=r"'names' is not known.*name"):
        draw_fretboard(GUITAR, position, x=0, y=0, label="names")
