"""The views that a video is made of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from groove.handout import NO_SHOW
from groove.handout.video import cards
from groove.handout.video.chart_view import ChartView
from groove.handout.video.head_view import HeadView
from groove.handout.video.now_view import now_views
from groove.handout.video.shown.shown_view import shown_view
from groove.handout.video.shown.tab_view import TabView

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from groove.band.part import PlayedNote
    from groove.form.chart import Chart
    from groove.handout.video.course import Course
    from groove.handout.video.look import Look
    from groove.handout.video.view import View
    from groove.lesson.request import Request
    from groove.sound.mixes import Mix
    from groove.sound.synth.soundfonts import Fonts


def views_of(
    course: Course,
    look: Look,
    show: str,
    request: Request,
    solo: Sequence[PlayedNote] | None = None,
) -> Sequence[View]:
    """The views while the music sounds.

    show: ``neck``, ``keyboard``, ``tab`` or ``none``. solo: as shown_view takes it.
    """
    chart = ChartView(course, look)
    views: list[View] = [HeadView(course.chart, look), chart, *now_views(course, look)]
    if show != NO_SHOW:
        form = course.chart.form
        views.append(shown_view(show, form, course.chart, course, look, request, solo))
    return views


def between_moments(views: Sequence[View]) -> Iterator[float]:
    """The seconds at which views change between the moments of a course."""
    for view in views:
        if isinstance(view, TabView):
            yield from view.changes


def title_card(chart: Chart, look: Look, mix: Mix) -> Sequence[View]:
    """The card before the music; mix: the one that sounds."""
    return [cards.title_card(chart, look, mix.label if mix.suffix else "")]


def end_card(chart: Chart, look: Look, fonts: Fonts) -> Sequence[View]:
    """The card after the music; fonts: whose credits it gives."""
    return [cards.end_card(chart, look, fonts)]
