"""The views that a video is made of."""

from __future__ import annotations

from typing import TYPE_CHECKING

from groove.handout.video import cards
from groove.handout.video.head_view import HeadView
from groove.handout.video.now_view import now_views

if TYPE_CHECKING:
    from collections.abc import Sequence

    from groove.form.chart import Chart
    from groove.handout.video.course import Course
    from groove.handout.video.look import Look
    from groove.handout.video.view import View
    from groove.lesson.request import Request
    from groove.sound.synth.soundfonts import Fonts


def views_of(course: Course, look: Look, show: str, request: Request) -> Sequence[View]:
    """The views while the music sounds. show: ``neck``, ``keyboard``, ``tab`` or ``none``."""
    return [HeadView(course.chart, look), *now_views(course, look)]


def title_card(chart: Chart, look: Look) -> Sequence[View]:
    """The card before the music."""
    return [cards.title_card(chart, look)]


def end_card(chart: Chart, look: Look, fonts: Fonts) -> Sequence[View]:
    """The card after the music; fonts: whose credits it gives."""
    return [cards.end_card(chart, look, fonts)]
