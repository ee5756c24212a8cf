"""The colours of the themes: contrast by WCAG 2.2, 1.4.3 and 1.4.11, of all pairs that occur."""

from __future__ import annotations

import pytest

from groove import library
from groove.handout.drawing.page import Box, Circle, Mark, Polygon, Rect, Text, ink_box
from groove.handout.video.chart_view import QUIET
from groove.handout.video.look import Colour
from groove.handout.video.views import views_of
from groove.lesson.request import USUAL
from tests.handout.video.video_material import SIZES, THEMES, course, look

TEXT, MARK = 4.5, 3.0
SHAPES = Rect | Circle | Polygon


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
def test_rows_that_come_later_have_contrast_on_paper(theme: str) -> None:
    colours = look("wide", theme=theme).colours
    quiet = inked(colours["paper"], colours["ink"], QUIET)
    assert contrast(quiet, colours["paper"]) >= TEXT
    assert contrast(colours["ink"], quiet) >= 2  # and differ from those that sound


@pytest.mark.parametrize("theme", THEMES)
def test_marks_have_contrast_to_what_is_beside_them(theme: str) -> None:
    colours = look("wide", theme=theme).colours
    assert contrast(colours["beat"], colours["paper"]) >= MARK
    for name in ("paper", "mark"):
        assert contrast(colours["line"], colours[name]) >= MARK, name


@pytest.mark.parametrize("theme", THEMES)
def test_type_in_paper_has_contrast_on_ink_and_on_the_line(theme: str) -> None:
    colours = look("wide", theme=theme).colours
    for name in ("ink", "line"):
        assert contrast(colours["paper"], colours[name]) >= TEXT, name


def test_both_themes_name_the_same_colours() -> None:
    light, dark = library.table("video")["themes"].values()
    assert light.keys() == dark.keys()


@pytest.mark.parametrize("show", ["none", "neck", "keyboard"])
@pytest.mark.parametrize("size", SIZES)
def test_only_the_pairs_that_are_measured_occur(size: str, show: str) -> None:
    found, shape = course("jazz-twelve-bar"), look(size, show)
    for view in views_of(found, shape, show, USUAL):
        scenes = {view.scene(moment) for moment in found.moments[::17]}
        for scene in scenes:
            marks = view.marks(scene.drawing)
            assert {fill.colour for fill in scene.fills} <= {"mark", "beat", "line"}
            fills = {mark.fill for mark in marks if isinstance(mark, SHAPES)}
            assert fills <= {None, 0.0, 1.0, QUIET}
            solid = [box(mark) for mark in marks if isinstance(mark, SHAPES) and mark.fill == 1.0]
            lines = [Box(f.x, f.y, f.x + f.wide, f.y + f.high) for f in scene.fills
                     if f.colour == "line"]  # fmt: skip
            for mark in marks:
                if isinstance(mark, Text) and mark.text.strip():
                    on_ink = any(box(mark).overlaps(each) for each in solid)
                    assert mark.ink in (0.7, QUIET, 1.0) or (mark.ink == 0.0 and on_ink)
                    assert not any(box(mark).overlaps(each) for each in lines)


def box(mark: Mark) -> Box:
    found = ink_box(mark)
    assert found
    return found
