"""Views: the parts of a frame, each a pure function of the moment."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from typing import Protocol

from groove.handout.drawing.page import Mark
from groove.handout.video.course import Moment
from groove.handout.video.look import Room


@dataclass(frozen=True, slots=True)
class Fill:
    """A coloured rectangle under the marks, in mm on the frame; colour: its name in the theme."""

    x: float
    y: float
    wide: float
    high: float
    colour: str


@dataclass(frozen=True, slots=True)
class Scene:
    """A view's part of the frame. drawing: names the marks; fills lie under them, later ones over
    earlier ones."""

    drawing: Hashable
    fills: tuple[Fill, ...] = ()


class View(Protocol):
    """A part of the frame. room: where it stands."""

    @property
    def room(self) -> Room: ...

    def scene(self, moment: Moment) -> Scene:
        """The scene at a moment; the same moment gives an equal scene."""
        ...

    def marks(self, drawing: Hashable) -> Sequence[Mark]:
        """The marks of a scene's drawing, in mm on the frame, inside the room."""
        ...
