"""Pages as SVG."""

from __future__ import annotations

from xml.etree import ElementTree as ET

from groove.handout.drawing.page import PAPERS, Circle, Line, Page, Polygon, Rect, Text
from groove.handout.drawing.svg import svg
from tests.handout.drawing.drawing_material import PAGE

SVG = "{http://www.w3.org/2000/svg}"


def test_svg_is_well_formed_and_says_what_it_shows() -> None:
    root = ET.fromstring(svg(PAGE))
    names = {"svg": "http://www.w3.org/2000/svg"}
    assert root.findtext("svg:title", namespaces=names) == "A page"
    assert root.findtext("svg:desc", namespaces=names) == "B♭7 then F♯m"
    assert root.get("viewBox") == "0 0 210 297"


def test_svg_defines_each_glyph_once() -> None:
    root = ET.fromstring(svg(PAGE))
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    uses = {
        element.get("{http://www.w3.org/1999/xlink}href", "")[1:]
        for element in root.iter("{http://www.w3.org/2000/svg}use")
    }
    assert len(ids) == len(set(ids))
    assert uses == set(ids) - {"title", "words"}


def test_same_page_gives_the_same_bytes() -> None:
    assert svg(PAGE) == svg(PAGE)


def elements(*marks: Line | Rect | Circle | Polygon | Text) -> list[dict[str, str]]:
    """The attributes of what is drawn of some marks, without the page's white."""
    root = ET.fromstring(svg(Page(PAPERS["a4"], marks, "")))
    return [dict(element.attrib) for element in root[4:]]


def test_marks_stand_in_millimetres_from_the_top_left_corner() -> None:
    assert elements(
        Line(1, 2, 3.125, 4, 0.5, 0.5), Rect(1, 2, 3, 4, 0.0, 0.32), Circle(5, 6, 2, 1.0, 0.0),
        Polygon(((1, 2), (3, -0.001), (5, 6.5)))
    ) == [
        {"d": "M1 2L3.12 4", "stroke": "#808080", "stroke-width": "0.5"},
        {"x": "1", "y": "2", "width": "3", "height": "4", "fill": "#ffffff", "stroke": "#000",
         "stroke-width": "0.32"},
        {"cx": "5", "cy": "6", "r": "2", "fill": "#000000"},
        {"points": "1,2 3,0 5,6.5", "fill": "#000000"},
    ]  # fmt: skip
    assert elements(Rect(0, 0, 1, 1, None))[0]["fill"] == "none"


def test_text_is_set_from_its_baseline_with_y_upwards() -> None:
    (group,) = elements(Text(20, 30, "H H", 72 / 2.54, ink=0.0))
    assert group == {"transform": "translate(0 30) scale(0.01 -0.01)", "fill": "#ffffff"}
    root = ET.fromstring(svg(Page(PAPERS["a4"], (Text(20, 30, "H H", 72 / 2.54),), "")))
    places = [use.get("x") for use in root.iter(f"{SVG}use")]
    assert places[0] == "2000"
    assert len(places) == 2
