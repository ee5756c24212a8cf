"""Pages as PDF, by reportlab: text stays text, and of each face only the glyphs used go in."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import cache
from typing import Any

from groove.handout.drawing.faces import FILES, FOLDER, SYMBOLS
from groove.handout.drawing.page import (
    Circle,
    Glyph,
    Line,
    Mark,
    Page,
    Polygon,
    Rect,
    Text,
    ascent,
    descent,
    setting,
    text_width,
)
from groove.wording import said

POINTS_PER_MM = 72 / 25.4


def pdf(pages: Sequence[Page], title: str = "") -> bytes:
    """The pages as one PDF file; the same pages give the same bytes. title: of the whole, else that
    of the first page."""
    from reportlab import rl_config
    from reportlab.pdfgen.canvas import Canvas

    _register_faces()
    rl_config.useA85 = 0  # streams as bytes: a fifth smaller than as letters
    out = io.BytesIO()
    canvas = Canvas(
        out,
        invariant=1,
        pageCompression=1,
        lang=said("language", "tag"),
        initialFontName=f"handout-{next(iter(FILES))}",
    )
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.setTitle(title or pages[0].title)
    canvas.setSubject(pages[0].words)
    canvas.setAuthor("groove")
    canvas.setCreator("groove")
    for page in pages:
        canvas.setPageSize((page.paper.width * POINTS_PER_MM, page.paper.height * POINTS_PER_MM))
        pen = _Pen(canvas)
        for mark in page.marks:
            _draw(pen, mark, page.paper.height)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


@cache
def _register_faces() -> None:
    """Make the faces known to reportlab; they are read once, as a video has many pages."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for name, file in FILES.items():
        pdfmetrics.registerFont(TTFont(f"handout-{name}", FOLDER / file))


class _Pen:
    """Draws a page: says a colour, a width or a font once for all marks that follow with it."""

    def __init__(self, canvas: Any) -> None:
        self.canvas = canvas
        self.said: dict[str, tuple[Any, ...]] = {}

    def _say(self, name: str, *values: Any) -> None:
        if self.said.get(name) != values:
            self.said[name] = values
            getattr(self.canvas, name)(*values)

    def font(self, name: str, size: float) -> None:
        self._say("setFont", name, size)

    def fill(self, ink: float) -> None:
        self._say("setFillGray", 1 - ink)

    def stroke(self, ink: float, width: float) -> None:
        self._say("setStrokeGray", 1 - ink)
        self._say("setLineWidth", width * POINTS_PER_MM)


def _draw(pen: _Pen, mark: Mark, height: float) -> None:
    canvas = pen.canvas

    def at(x: float, y: float) -> tuple[float, float]:
        return x * POINTS_PER_MM, (height - y) * POINTS_PER_MM

    match mark:
        case Text() | Glyph():
            set_ = setting(mark)
            size = mark.size if isinstance(mark, Text) else 4 * mark.space * POINTS_PER_MM
            text = mark.text if isinstance(mark, Text) else chr(SYMBOLS[mark.name])
            pen.fill(mark.ink)
            pen.font(f"handout-{set_.face}", size)
            canvas.drawString(*at(set_.left, mark.y), text)
            if isinstance(mark, Text) and mark.link:
                low = at(set_.left, mark.y + descent(mark.size, mark.face))
                right = set_.left + text_width(text, mark.size, mark.face)
                high = at(right, mark.y - ascent(mark.size, mark.face))
                canvas.linkURL(mark.link, (*low, *high), relative=0, thickness=0)
        case Line(x1, y1, x2, y2, width, ink):
            pen.stroke(ink, width)
            canvas.line(*at(x1, y1), *at(x2, y2))
        case Rect(x, y, wide, high, fill, width):
            size_ = (wide * POINTS_PER_MM, high * POINTS_PER_MM)
            canvas.rect(*at(x, y + high), *size_, **_painted(pen, fill, width))
        case Circle(x, y, radius, fill, width):
            canvas.circle(*at(x, y), radius * POINTS_PER_MM, **_painted(pen, fill, width))
        case Polygon(points, fill, width):
            path = canvas.beginPath()
            path.moveTo(*at(*points[0]))
            for point in points[1:]:
                path.lineTo(*at(*point))
            path.close()
            canvas.drawPath(path, **_painted(pen, fill, width))


def _painted(pen: _Pen, fill: float | None, width: float) -> dict[str, int]:
    """Set the colours of a shape; how to draw it."""
    if fill is not None:
        pen.fill(fill)
    if width > 0:
        pen.stroke(1, width)
    return {"stroke": int(width > 0), "fill": int(fill is not None)}
