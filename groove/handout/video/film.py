"""The pictures of a video in order: the title card, the frames that follow the music, the end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil
from typing import TYPE_CHECKING

from groove import library
from groove.handout.video.course import FRAMES_A_SECOND, Course
from groove.handout.video.frames import Frames
from groove.handout.video.views import between_moments, end_card, title_card, views_of

if TYPE_CHECKING:
    from groove.band.part import PlayedNote
    from groove.form.chart import Chart
    from groove.handout.drawing.raster import Pixels
    from groove.handout.video.look import Look
    from groove.lesson.request import Request
    from groove.sound.mixes import Mix
    from groove.sound.synth.soundfonts import Fonts


class Film:
    """The pictures for a chart; mix: the one that sounds.

    lead_in: the seconds of the title card, before the sound begins. after: of the card at the end.
    solo: the notes of the solo as they are played, where there is one.
    """

    def __init__(
        self,
        chart: Chart,
        look: Look,
        show: str,
        request: Request,
        fonts: Fonts,
        mix: Mix,
        solo: Sequence[PlayedNote] | None = None,
    ) -> None:
        figures = library.table("video")
        self.lead_in: int = figures["title_seconds"]
        self.after: int = figures["end_seconds"]
        course = Course.of(chart)
        views = views_of(course, look, show, request, solo)
        self.course = course.with_times(between_moments(views))
        self.look = look
        self._first = Frames(look, title_card(chart, look, mix))
        self._main = Frames(look, views)
        self._last = Frames(look, end_card(chart, look, fonts))

    def length(self, seconds: float) -> int:
        """The frames of the video; seconds: of the sound."""
        return ceil((self.lead_in + seconds + self.after) * FRAMES_A_SECOND)

    def pictures(self, seconds: float) -> Iterator[Pixels | None]:
        """The planes of each frame, None where it is the same picture as before.

        seconds: of the sound. A frame shows the moment in its middle, so that a mark is half a
        frame early or late at most.
        """
        total, lead_in = self.length(seconds), self.lead_in * FRAMES_A_SECOND
        end = total - self.after * FRAMES_A_SECOND
        for number in range(total):
            at = (number - lead_in + 0.5) / FRAMES_A_SECOND
            part = self._first if number < lead_in else self._main if number < end else self._last
            new = part.draw(self.course.at(at)) or number in (0, lead_in, end)
            yield part.planes if new else None
