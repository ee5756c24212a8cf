"""Pages as PDF, read back by pypdfium2."""

from __future__ import annotations

import pypdfium2
import pytest

from groove.handout.drawing.page import PAPERS, Circle, Line, Mark, Page, Polygon, Rect, Text
from groove.handout.drawing.pdf import pdf
from tests.handout.drawing.drawing_material import PAGE

MM = 72 / 25.4  # points


def boxes(*marks: Mark) -> list[tuple[float, ...]]:
    """Left, top, right and bottom of what is drawn, in mm from the top left corner."""
    document = pypdfium2.PdfDocument(pdf([Page(PAPERS["a4"], marks, "")]))
    found = []
    for each in document[0].get_objects():
        left, bottom, right, top = each.get_bounds()
        found.append((left / MM, 297 - top / MM, right / MM, 297 - bottom / MM))
    return found


def test_same_pages_give_the_same_bytes() -> None:
    assert pdf([PAGE, PAGE]) == pdf([PAGE, PAGE])


def test_title_names_author_and_language_are_in_the_file() -> None:
    content = pdf([PAGE], "Ferry, chord chart")
    found = pypdfium2.PdfDocument(content).get_metadata_dict()
    assert (found["Title"], found["Author"]) == ("Ferry, chord chart", "groove")
    assert found["Subject"] == PAGE.words
    assert b"/DisplayDocTitle true" in content
    assert b"/Lang" in content
    assert pypdfium2.PdfDocument(pdf([PAGE])).get_metadata_dict()["Title"] == PAGE.title


def test_every_font_is_embedded() -> None:
    content = pdf([PAGE])
    assert b"Helvetica" not in content
    assert content.count(b"/FontFile2") == content.count(b"/Type /FontDescriptor") > 0


@pytest.mark.parametrize(
    "mark", [Rect(10, 20, 30, 40, 0.5, 0.0), Polygon(((10, 20), (40, 20), (40, 60), (10, 60)))]
)
def test_areas_stand_in_millimetres_from_the_top_left_corner(mark: Mark) -> None:
    (box,) = boxes(mark)
    assert box == pytest.approx((10, 20, 40, 60), abs=0.1)


def test_lines_and_circles_stand_in_millimetres_from_the_top_left_corner() -> None:
    line, circle = boxes(Line(10, 20, 10, 60, 1.0), Circle(100, 50, 10, 1.0, 0.0))
    assert (line[0] + line[2], line[1] + line[3]) == pytest.approx((2 * 10, 20 + 60), abs=0.1)
    assert circle == pytest.approx((90, 40, 110, 60), abs=0.1)


@pytest.mark.parametrize(("anchor", "side"), [("start", 0), ("end", 2)])
def test_text_begins_or_ends_at_its_anchor(anchor: str, side: int) -> None:
    (box,) = boxes(Text(100, 50, "HHH", 20, anchor=anchor))
    assert box[side] == pytest.approx(100, abs=0.5)
    assert box[3] == pytest.approx(50, abs=0.3)
