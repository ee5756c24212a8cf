"""The choice of a preview: chart or sheet, for whom, on which paper."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from groove.errors import OptionError, nearest
from groove.handout.drawing.page import PAPERS
from groove.lesson.request import Request

KINDS = CHART, SHEET = ("chart", "sheet")
USUAL_AUDIENCE = "lesson"
AUDIENCES = {
    USUAL_AUDIENCE: Request(),  # what the form file says that the learner plays
    "guitar": Request(instrument="guitar"),
    "bass": Request("bass-clef", "bass"),
    "ukulele": Request(instrument="ukulele"),
    "mandolin": Request(instrument="mandolin"),
    "keyboard": Request(instrument="keyboard"),
    "concert": Request(instrument="none"),
    "Bb": Request("Bb", "none"),
    "Eb": Request("Eb", "none"),
    "F": Request("F", "none"),
    "bass-clef": Request("bass-clef", "none"),
}
"""Whom a handout may be for: the reader and the instrument of each, by the names of their titles in
``patterns/lesson/screen-preview.toml``."""


@dataclass(frozen=True, slots=True)
class Choice:
    """A handout to preview: one of KINDS, of AUDIENCES and of PAPERS."""

    kind: str = SHEET
    audience: str = USUAL_AUDIENCE
    paper: str = "a4"

    @classmethod
    def read(cls, asked: Mapping[str, str]) -> Choice:
        """The choice that an address names with ``kind``, ``for`` and ``paper``; what it leaves
        out is as usual. Raises GrooveError for others than there are."""
        usual = cls()
        kind, paper = asked.get("kind", usual.kind), asked.get("paper", usual.paper)
        if kind not in KINDS:
            raise OptionError("kind", f"found {kind[:40]!r}; {nearest(kind[:40], KINDS)}")
        if paper not in PAPERS:
            raise OptionError("paper", f"found {paper[:40]!r}; {nearest(paper[:40], PAPERS)}")
        return cls(kind, audience_named(asked.get("for", usual.audience)), paper)

    @property
    def request(self) -> Request:
        """The reader and the instrument."""
        return AUDIENCES[self.audience]


def audience_named(name: object) -> str:
    """A name in AUDIENCES. Raises GrooveError for others."""
    if not isinstance(name, str) or name not in AUDIENCES:
        shown = str(name)[:40]
        raise OptionError("for", f"found {shown!r}; {nearest(shown, AUDIENCES)}")
    return name
