"""The colours of the themes: contrast by WCAG 2.2, 1.4.3 and 1.4.11, of all pairs that occur."""

from __future__ import annotations

import pytest

from groove import library
from groove.handout.drawing.page import Text
from groove.handout.video.head_view import HeadView
from groove.handout.video.look import Colour
from groove.handout.video.now_view import now_views
from tests.handout.video.video_material import SIZES, THEMES, course, look

TEXT, MARK = 4.5, 3.0


def contrast(one: Colour, other: Colour) -> float:
    """The contrast ratio of two colours, 1 to 21 (WCAG 2.2, relative luminance)."""

    def luminance(colour: Colour) -> float:
        shares = [value / 255 for value in colour]
        linear = [s / 12.92 if s <= 0.04045 else ((s + 0.055) / 1.055) ** 2.4 for s in shares]
        return sum(w * s for w, s in zip((0.2126, 0.7152, 0.0722), linear, strict=True))

    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def inked(under: Colour, ink: Colour, share: float) -> Colour:
    """The colour of type with a share of the ink."""
    red, green, blue = (round(u + (i - u) * share) for u, i in zip(under, ink, strict=True))
    return red, green, blue


def test_the_measure_is_that_of_the_standard() -> None:
    assert contrast((0, 0, 0), (255, 255, 255)) == pytest.approx(21)
    assert contrast((118, 118, 118), (255, 255, 255)) == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("theme", THEMES)
def test_type_has_contrast_on_all_that_lies_under_it(theme: str) -> None:
    colours = look("wide", theme=theme).colours
    for name in colours.keys() - {"ink", "line"}:
        assert contrast(colours["ink"], colours[name]) >= TEXT, name
    for name in ("paper", "mark"):
        quiet = inked(colours[name], colours["ink"], 0.7)
        assert contrast(quiet, colours[name]) >= TEXT, name


@pytest.mark.parametrize("theme", THEMES)
def test_marks_have_contrast_to_what_is_beside_them(theme: str) -> None:
    colours = look("wide", theme=theme).colours
    assert contrast(colours["beat"], colours["paper"]) >= MARK
    for name in ("paper", "mark"):
        assert contrast(colours["line"], colours[name]) >= MARK, name


def test_both_themes_name_the_same_colours() -> None:
    light, dark = library.table("video")["themes"].values()
    assert light.keys() == dark.keys()


@pytest.mark.parametrize("size", SIZES)
def test_no_type_is_lighter_than_the_ink_that_is_measured(size: str) -> None:
    found = course("rhythm-changes")
    shape = look(size)
    for view in (HeadView(found.chart, shape), *now_views(found, shape)):
        for drawing in {view.scene(moment).drawing for moment in found.moments}:
            inks = [mark.ink for mark in view.marks(drawing) if isinstance(mark, Text)]
            assert all(ink >= 0.7 for ink in inks)
