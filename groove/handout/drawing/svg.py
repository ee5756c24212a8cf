"""Pages as SVG.

Text is drawn by the outlines of its glyphs, each defined once, so that a page looks the same in
every program and stays small; its text is in ``<title>`` and ``<desc>``.
"""

from __future__ import annotations

from xml.etree import ElementTree as ET

from groove.handout.drawing.page import (
    Circle,
    Glyph,
    Line,
    Mark,
    Page,
    Polygon,
    Rect,
    Text,
    setting,
)

SVG = "http://www.w3.org/2000/svg"
LINK = "http://www.w3.org/1999/xlink"


def svg(page: Page) -> bytes:
    """The page as an SVG file in UTF-8; the same page gives the same bytes."""
    ET.register_namespace("", SVG)
    ET.register_namespace("xlink", LINK)
    wide, high = _number(page.paper.width), _number(page.paper.height)
    root = ET.Element(
        f"{{{SVG}}}svg",
        {
            "width": f"{wide}mm",
            "height": f"{high}mm",
            "viewBox": f"0 0 {wide} {high}",
            "role": "img",
            "aria-labelledby": "title words",
        },
    )
    _child(root, "title", id="title").text = page.title
    _child(root, "desc", id="words").text = page.words
    shapes = _child(root, "defs")
    _child(root, "rect", width=wide, height=high, fill="#fff")
    defined: dict[tuple[str, str], str] = {}
    for mark in page.marks:
        if isinstance(mark, Text | Glyph):
            _draw_glyphs(root, shapes, defined, mark)
        else:
            _draw(root, mark)
    ET.indent(root, "")
    return f"{ET.tostring(root, encoding='unicode')}\n".encode()


def _child(parent: ET.Element, tag: str, **attributes: str) -> ET.Element:
    return ET.SubElement(parent, f"{{{SVG}}}{tag}", attributes)


def _number(value: float, places: int = 2) -> str:
    text = f"{value:.{places}f}"
    text = text.rstrip("0").rstrip(".") if places else text
    return "0" if text == "-0" else text


def _grey(ink: float) -> str:
    level = round(255 * (1 - ink))
    return f"#{level:02x}{level:02x}{level:02x}"


def _draw_glyphs(
    root: ET.Element, shapes: ET.Element, defined: dict[tuple[str, str], str], mark: Text | Glyph
) -> None:
    set_ = setting(mark)
    scale = _number(set_.scale, 5)
    if isinstance(mark, Text) and mark.link:
        root = _child(root, "a", href=mark.link)
    group = _child(root, "g", transform=f"translate(0 {_number(mark.y)}) scale({scale} -{scale})")
    if mark.ink != 1:
        group.set("fill", _grey(mark.ink))
    for x, character, shape in set_.glyphs:
        if shape.box is None:
            continue
        name = defined.get((set_.face, character))
        if name is None:
            name = f"{set_.face[0]}{ord(character):x}"
            defined[set_.face, character] = name
            _child(shapes, "path", id=name, d=shape.outline)
        use = _child(group, "use", x=_number(x / set_.scale, 0))
        use.set(f"{{{LINK}}}href", f"#{name}")


def _draw(root: ET.Element, mark: Mark) -> None:
    match mark:
        case Line(x1, y1, x2, y2, width, ink):
            _child(
                root, "path", d=f"M{_number(x1)} {_number(y1)}L{_number(x2)} {_number(y2)}",
                stroke=_grey(ink), **{"stroke-width": _number(width)},
            )  # fmt: skip
        case Rect(x, y, wide, high, fill, width):
            _child(
                root, "rect", x=_number(x), y=_number(y), width=_number(wide),
                height=_number(high), **_paint(fill, width),
            )  # fmt: skip
        case Circle(x, y, radius, fill, width):
            _child(
                root, "circle", cx=_number(x), cy=_number(y), r=_number(radius),
                **_paint(fill, width),
            )  # fmt: skip
        case Polygon(points, fill, width):
            path = " ".join(f"{_number(x)},{_number(y)}" for x, y in points)
            _child(root, "polygon", points=path, **_paint(fill, width))


def _paint(fill: float | None, width: float) -> dict[str, str]:
    paint = {"fill": "none" if fill is None else _grey(fill)}
    if width > 0:
        paint |= {"stroke": "#000", "stroke-width": _number(width)}
    return paint
