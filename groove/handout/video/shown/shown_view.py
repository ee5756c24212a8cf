"""The view beside the chart that a video is asked for: neck, keyboard or tablature."""

from __future__ import annotations

from collections.abc import Sequence

from groove.band.part import SOLO, PlayedNote
from groove.errors import OptionError, nearest
from groove.form.chart import Chart
from groove.form.lesson_fields import NO_SOLO
from groove.form.model import Form
from groove.handout import KEYBOARD, NECK, NO_SHOW, SHOWS
from groove.handout.video.course import Course
from groove.handout.video.look import Look
from groove.handout.video.shown.keyboard_view import KeyboardView
from groove.handout.video.shown.neck_view import NeckView, neck_tuning
from groove.handout.video.shown.scale_view import label_for
from groove.handout.video.shown.tab_view import TabView
from groove.handout.video.view import View
from groove.instrument.material import scale
from groove.instrument.positions import at_fret
from groove.lesson.request import Request
from groove.track import compile_take


def shown_view(
    show: str,
    form: Form,
    chart: Chart,
    course: Course,
    look: Look,
    request: Request,
    solo: Sequence[PlayedNote] | None = None,
) -> View:
    """The view of a name: ``neck``, ``keyboard`` or ``tab``.

    solo: the notes of the solo as the track's take has them; the take is compiled where they are
    left out. Raises OptionError as check_shown does.
    """
    check_shown(show, form, request)
    if show == KEYBOARD:
        return KeyboardView(chart, course, look, request)
    if show == NECK:
        return NeckView(chart, course, look, request)
    if solo is None:
        solo = next(part.notes for part in compile_take(form).parts if part.name == SOLO)
    return TabView(chart, course, look, solo)


def check_shown(show: str, form: Form, request: Request) -> None:
    """Raise OptionError for what can't be shown: another name, an instrument, position or label
    that a diagram has not, tablature of a form without a solo."""
    known = [name for name in SHOWS if name != NO_SHOW]
    if show not in known:
        raise OptionError("show", f"found {show!r}; {nearest(show, known)}")
    if show == KEYBOARD:
        label_for(request, None)
    elif show == NECK:
        tuning = neck_tuning(request)
        label_for(request, tuning)
        if request.position is not None:
            at_fret(tuning, scale(form.key.tonic, "major"), request.position)
    elif form.lesson.solo == NO_SOLO:
        raise OptionError(
            "show", 'tab: the form has no solo; write solo = "example" or solo = "answers" into it'
        )
