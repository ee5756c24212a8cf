"""Courses for the tests of video: those of all shipped forms, the demo's, arrangements, and some
that are made up."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from groove import library
from groove.form.build import Layer, build
from groove.form.model import Form
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.handout import SHOWS
from groove.handout.video.course import Course
from groove.handout.video.look import Look, look_of

ROOT = Path(__file__).parents[3]
FORMS = [
    *library.names("forms"),
    *(str(path) for path in sorted(ROOT.glob("demo/*.toml"))),
    *(str(path) for path in sorted(ROOT.glob("tests/arrangements/*.toml"))),
]
SIZES, THEMES = ("wide", "upright", "square"), ("light", "dark")
LOOKS = [(size, show) for size in SIZES for show in SHOWS[:2]]
LONG = "A long title for a lesson on the winding road over the seven hills and back home"


@cache
def course(form: str) -> Course:
    """The course of a shipped form or of a form file."""
    return Course.of(unroll(read_form(form)))


def form(**values: Any) -> Form:
    """A form from some fields, all others usual."""
    usual = {"title": "Made up", "key": "C", "ending": "hit"}
    return build([Layer(usual | values, lambda field: field)])


def made(**values: Any) -> Course:
    """The course of a form from some fields, made once."""
    key = repr(values)
    if key not in _MADE:
        _MADE[key] = Course.of(unroll(form(**values)))
    return _MADE[key]


_MADE: dict[str, Course] = {}


def look(size: str, show: str = "none", theme: str = "light") -> Look:
    """A look by the names of what it is for."""
    return look_of(size, theme, show)
