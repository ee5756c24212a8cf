"""Pages as PDF, by reportlab: text stays text, and of each face only the glyphs used go in."""

from __future__ import annotations

import io
from collections.abc import Sequence
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
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont
    from reportlab.pdfgen.canvas import Canvas

    for name, file in FILES.items():
        pdfmetrics.registerFont(TTFont(f"handout-{name}", FOLDER / file))
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
        for mark in page.marks:
            _draw(canvas, mark, page.paper.height)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _draw(canvas: Any, mark: Mark, height: float) -> None:
    def at(x: float, y: float) -> tuple[float, float]:
        return x * POINTS_PER_MM, (height - y) * POINTS_PER_MM

    match mark:
        case Text() | Glyph():
            set_ = setting(mark)
            size = mark.size if isinstance(mark, Text) else 4 * mark.space * POINTS_PER_MM
            text = mark.text if isinstance(mark, Text) else chr(SYMBOLS[mark.name])
            canvas.setFillGray(1 - mark.ink)
            canvas.setFont(f"handout-{set_.face}", size)
            canvas.drawString(*at(set_.left, mark.y), text)
            if isinstance(mark, Text) and mark.link:
                low = at(set_.left, mark.y + descent(mark.size, mark.face))
                right = set_.left + text_width(text, mark.size, mark.face)
                high = at(right, mark.y - ascent(mark.size, mark.face))
                canvas.linkURL(mark.link, (*low, *high), relative=0, thickness=0)
        case Line(x1, y1, x2, y2, width, ink):
            canvas.setStrokeGray(1 - ink)
            canvas.setLineWidth(width * POINTS_PER_MM)
            canvas.line(*at(x1, y1), *at(x2, y2))
        case Rect(x, y, wide, high, fill, width):
            size_ = (wide * POINTS_PER_MM, high * POINTS_PER_MM)
            canvas.rect(*at(x, y + high), *size_, **_painted(canvas, fill, width))
        case Circle(x, y, radius, fill, width):
            canvas.circle(*at(x, y), radius * POINTS_PER_MM, **_painted(canvas, fill, width))
        case Polygon(points, fill, width):
            path = canvas.beginPath()
            path.moveTo(*at(*points[0]))
            for point in points[1:]:
                path.lineTo(*at(*point))
            path.close()
            canvas.drawPath(path, **_painted(canvas, fill, width))


def _painted(canvas: Any, fill: float | None, width: float) -> dict[str, int]:
    """Set the colours of a shape; how to draw it."""
    if fill is not None:
        canvas.setFillGray(1 - fill)
    if width > 0:
        canvas.setStrokeGray(0)
        canvas.setLineWidth(width * POINTS_PER_MM)
    return {"stroke": int(width > 0), "fill": int(fill is not None)}
