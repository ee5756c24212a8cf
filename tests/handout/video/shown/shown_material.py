"""Views beside the chart, as tests read them."""

from collections.abc import Iterator, Sequence

from groove.form.model import Form
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.handout.drawing.page import Box, Circle, Mark, Polygon, Rect, ink_box
from groove.handout.video.course import Course, Moment
from groove.handout.video.look import look_of
from groove.handout.video.shown.shown_view import shown_view
from groove.handout.video.view import View
from groove.lesson.request import Request

SIZES = ("wide", "upright", "square")
FORMS = ("twelve-bar", "rhythm-changes", "minor-twelve-bar")
NEAR = 1e-6  # mm


def shown(form: Form, show: str, size: str = "wide", theme: str = "light", **asked: object) -> View:
    """The view of a form; asked: fields of the request."""
    chart = unroll(form)
    look = look_of(size, theme, show)
    return shown_view(show, form, chart, Course.of(chart), look, Request(**asked))  # type: ignore[arg-type]


def a_form(name: str, **fields: object) -> Form:
    """A shipped form, two times round."""
    return read_form(name, choruses=2, **fields)  # type: ignore[arg-type]


def drawings(view: View, moments: Sequence[Moment]) -> Iterator[tuple[Mark, ...]]:
    """The marks of each different drawing."""
    for drawing in dict.fromkeys(view.scene(moment).drawing for moment in moments):
        yield tuple(view.marks(drawing))


def outside(view: View, marks: Sequence[Mark]) -> list[Box]:
    """The boxes of the marks that are not wholly in the view's room."""
    room = view.room
    boxes = [box for mark in marks if (box := ink_box(mark))]
    return [
        box
        for box in boxes
        if box.left < room.x - NEAR
        or box.top < room.y - NEAR
        or box.right > room.x + room.wide + NEAR
        or box.bottom > room.y + room.high + NEAR
    ]


def shape_at(marks: Sequence[Mark], x: float, y: float) -> str:
    """The look of the dot with its middle at a place: root, chord, scale or passing; empty for
    none. A frame is no dot."""
    for mark in marks:
        if isinstance(mark, Circle) and abs(mark.x - x) + abs(mark.y - y) < NEAR:
            return "chord" if mark.fill == 1 else "scale"
        box = ink_box(mark) if isinstance(mark, Rect | Polygon) else None
        if box is None:
            continue
        at = abs((box.left + box.right) / 2 - x) + abs((box.top + box.bottom) / 2 - y) < NEAR
        if at and isinstance(mark, Rect) and mark.fill == 1:
            return "root"
        if at and isinstance(mark, Polygon):
            return "passing"
    return ""
