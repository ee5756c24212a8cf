"""Marks of the views beside a video's chart lie in their room: all shipped forms, demos and
arrangements, all instruments and sizes, both hands. Prints what lies outside, and the time.

Run: python -m tests.bench.shown_views
"""

import time
from itertools import product
from pathlib import Path

from groove.errors import GrooveError
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.handout.video.course import Course
from groove.handout.video.look import look_of
from groove.handout.video.shown.shown_view import shown_view
from groove.lesson.request import Request
from tests.handout.video.shown.shown_material import SIZES, drawings, outside

ROOT = Path(__file__).parents[2]
FORMS = sorted(
    path
    for folder in ("patterns/forms", "demo", "tests/arrangements")
    for path in (ROOT / folder).glob("*.toml")
)
TUNINGS = ("guitar", "guitar-7", "dadgad", "bass", "bass-5", "ukulele", "mandolin")


def views() -> list[tuple[str, Request, dict[str, str]]]:
    """What is shown, the request for it, and the fields of the form that it asks for."""
    found = [
        ("neck", Request(tuning=tuning, left_handed=left, position=position), {})
        for tuning, left, position in product(TUNINGS, (False, True), (None, 1))
        if not (left and position)
    ]
    found += [("keyboard", Request(dots=dots), {}) for dots in ("names", "degrees")]
    return [*found, *(("tab", Request(), {"solo": solo}) for solo in ("example", "answers"))]


def main() -> None:
    """Print each view with marks outside of its room."""
    made = wrong = 0
    began = time.perf_counter()
    for path, (show, request, fields) in product(FORMS, views()):
        form = read_form(path, **fields)
        chart = unroll(form)
        course = Course.of(chart)
        for size, theme in product(SIZES, ("light", "dark") if show == "keyboard" else ("light",)):
            look = look_of(size, theme, show)
            try:
                view = shown_view(show, form, chart, course, look, request)
            except GrooveError as error:
                print(path.name, show, request, error)
                break
            for marks in drawings(view, course.moments):
                made += 1
                if boxes := outside(view, marks):
                    wrong += 1
                    print(path.name, show, size, theme, request, boxes[0])
                    break
    print(f"{made} drawings, {wrong} views with marks outside, {time.perf_counter() - began:.0f} s")


if __name__ == "__main__":
    main()
