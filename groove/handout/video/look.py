"""The look of a video's frames: size, rooms and colours, from ``patterns/video.toml``."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from groove import library
from groove.errors import OptionError, nearest
from groove.handout import NO_SHOW, SHOWS, SIZES, THEMES

PIXELS_A_MM = 6

Colour = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Room:
    """A part of the frame, in mm from its top left corner."""

    x: float
    y: float
    wide: float
    high: float


@dataclass(frozen=True)
class Look:
    """A size of frame in one theme.

    width, height: in mm. least: the type size of the smallest chord symbol in points. most_bars: of
    the chart in view. rooms: of the views, by name. colours: red, green and blue, 0 to 255, by
    name: ``paper``, ``ink`` and the fills.
    """

    size: str
    theme: str
    width: float
    height: float
    least: float
    most_bars: int
    rooms: dict[str, Room]
    colours: dict[str, Colour]

    @property
    def pixels(self) -> tuple[int, int]:
        """Columns and rows of the frame."""
        return round(self.width * PIXELS_A_MM), round(self.height * PIXELS_A_MM)


def look_of(size: str, theme: str, show: str = NO_SHOW) -> Look:
    """The look of a size (``"wide"``, ``"upright"``, ``"square"``) in a theme (``"light"``,
    ``"dark"``); show: what is shown beside the chart, one of SHOWS.

    Raises OptionError for another name.
    """
    figures = library.table("video")
    _check("size", size, SIZES)
    _check("theme", theme, THEMES)
    _check("show", show, SHOWS)
    sized = figures["sizes"][size]
    rooms = sized["rooms"] | (sized["beside"] if show != NO_SHOW else {})
    return Look(
        size,
        theme,
        sized["frame"][0],
        sized["frame"][1],
        sized["least"],
        sized["most_bars"],
        {name: Room(*edges) for name, edges in rooms.items()},
        {name: _colour(code) for name, code in figures["themes"][theme].items()},
    )


def _check(option: str, found: str, allowed: Iterable[str]) -> None:
    names = list(allowed)
    if found not in names:
        raise OptionError(option, f"found {found!r}; {nearest(found, names)}")


def _colour(code: str) -> Colour:
    """A colour as in CSS, ``#rrggbb``."""
    red, green, blue = bytes.fromhex(code.removeprefix("#"))
    return red, green, blue
