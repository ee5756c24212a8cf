"""The practice page of an open form, made in memory and served so that it can reach nothing.

It is one HTML file with programs of its own, and stands on the same server as the author's screen.
So its answer carries, beside the policy of its own head (its scripts by their digests, no
connection at all), the directive ``sandbox``: the page has an origin of its own that equals no
other, in a frame as well as in a tab. A request that it could still send, by leading its frame
elsewhere, comes with the mark of a foreign page, and the guard refuses it. ``allow-same-origin``
would undo that, and with ``allow-scripts`` beside it the frame could even take its own sandbox off.

What that costs: storage of the browser is closed to it, so it keeps nothing, and each preview is
what a student meets on the first day; the microphone is closed to it in the frame. Its sound is
not touched: an audio context, the audio thread's program in a data address and the clock's worker
in a blob address are allowed to such an origin. Saved as a file and opened from there the page has
all that a student's has.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from groove.form.file_names import title_stem
from groove.screen.preview.choice import AUDIENCES
from groove.wording import worded

if TYPE_CHECKING:
    from groove.form.model import Form

STEPS = NOTES, SOUNDS, MIX = ("notes", "sounds", "mix")
"""The steps in which it is made, by the names of their words."""
SANDBOX = "sandbox allow-scripts allow-downloads"
"""The rights that the page has all the same: to run, and to hand out files to take away."""


@dataclass(frozen=True)
class PracticePage:
    """The page of a form for an audience. number: another one for each that is made."""

    number: int
    form: Form
    audience: str
    text: str

    @property
    def policy(self) -> str:
        """The content security policy of its answer."""
        from groove.handout.practice.inline import policy_in

        return f"{SANDBOX}; {policy_in(self.text)}; frame-ancestors 'self'"

    @property
    def file_name(self) -> str:
        """The name of its file."""
        with worded(self.form.lesson.words):
            return f"{title_stem(self.form.title)}.html"


class PracticePages:
    """Makes the practice page, and keeps the newest."""

    def __init__(self) -> None:
        self.newest: PracticePage | None = None

    def page(self, form: Form, audience: str, tell: Callable[[str, float], None]) -> PracticePage:
        """The page of a form, which takes seconds unless it is the newest already.

        A preview is the author's own, so sounds that may not be posted are heard in it all the
        same; its foot then says so. tell: called with the step that begins or goes on, one of
        STEPS, and the share of the whole that is done, 0 to 1. Raises GrooveError where it can't be
        made.
        """
        from groove.handout.practice.make import NOTES_SHARE, SOUND_SHARE, page_text

        def told(share: float) -> None:
            is_recorded = share >= NOTES_SHARE + SOUND_SHARE - 1e-9
            tell(MIX if is_recorded else SOUNDS if share else NOTES, share)

        newest = self.newest
        if newest and newest.audience == audience and newest.form == form:
            return newest
        told(0.0)
        text = page_text(form, private=True, request=AUDIENCES[audience], progress=told)
        number = newest.number + 1 if newest else 1
        self.newest = PracticePage(number, form, audience, text)
        return self.newest
