"""Frames put together from views: only what has changed is drawn again.

Colours are ITU-R BT.709 in the limited range, as high-definition video has them.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from groove.handout.drawing.page import moved
from groove.handout.drawing.raster import coverage
from groove.handout.video.course import Moment
from groove.handout.video.look import PIXELS_A_MM, Colour, Look, Room
from groove.handout.video.view import Scene, View

if TYPE_CHECKING:
    from groove.handout.drawing.raster import Pixels

KEPT = 64_000_000
"""Bytes of drawings that are kept, as a chorus comes back."""
LUMA = (0.2126, 0.7152, 0.0722)
"""The shares of red, green and blue in the luma (ITU-R BT.709-6, item 3.2)."""


class Frames:
    """Draws the frames of a video: the planes of Y, U and V, the latter at half the size.

    planes: those of the last frame drawn, as one array of 3/2 of the frame's rows.
    """

    def __init__(self, look: Look, views: Sequence[View]) -> None:
        self.look, self.views = look, views
        wide, high = look.pixels
        self.planes: Pixels = np.empty((high * 3 // 2, wide), np.uint8)
        self._tables: dict[str, tuple[Pixels, ...]] = {}
        luma, blue, red = (values[0] for values in self._table("paper"))
        self.planes[:high] = luma
        self._chroma(0)[:], self._chroma(1)[:] = blue, red
        self._moment: Moment | None = None
        self._shown: dict[int, Scene] = {}
        self._drawn: OrderedDict[tuple[int, Hashable], tuple[Pixels, Pixels]] = OrderedDict()
        self._bytes = 0

    def draw(self, moment: Moment) -> bool:
        """Draw the frame of a moment into `planes`; returns whether it differs from the last."""
        if moment is self._moment:
            return False
        self._moment, changed = moment, False
        for number, view in enumerate(self.views):
            scene = view.scene(moment)
            if self._shown.get(number) == scene:
                continue
            self._shown[number] = scene
            self._draw(view.room, *self._ink(number, scene.drawing), scene)
            changed = True
        return changed

    def rgb(self) -> Pixels:
        """The last frame's picture as an array of shape (rows, columns, 3)."""
        wide, high = self.look.pixels
        blue, red = (np.kron(self._chroma(n), np.ones((2, 2))) - 128 for n in (0, 1))
        luma = (self.planes[:high].astype(float) - 16) * 255 / 219
        red, blue = red * 255 / 224 * 2 * (1 - LUMA[0]), blue * 255 / 224 * 2 * (1 - LUMA[2])
        green = -(LUMA[0] * red + LUMA[2] * blue) / LUMA[1]
        found = np.stack([luma + red, luma + green, luma + blue], axis=-1)
        picture: Pixels = np.clip(np.rint(found), 0, 255).astype(np.uint8).reshape(high, wide, 3)
        return picture

    def _chroma(self, which: int) -> Pixels:
        """The plane of U (0) or V (1)."""
        wide, high = self.look.pixels
        size = wide * high // 4
        flat = self.planes[high:].reshape(-1)
        return flat[which * size : (which + 1) * size].reshape(high // 2, wide // 2)

    def _ink(self, number: int, drawing: Hashable) -> tuple[Pixels, Pixels]:
        """The ink of a view's drawing: of each pixel, and of the four that share a colour."""
        key = number, drawing
        if key in self._drawn:
            self._drawn.move_to_end(key)
            return self._drawn[key]
        view = self.views[number]
        left, top, right, bottom = _edges(view.room)
        marks = [
            moved(mark, -left / PIXELS_A_MM, -top / PIXELS_A_MM) for mark in view.marks(drawing)
        ]
        pixels = right - left, bottom - top
        ink = coverage(marks, pixels[0] / PIXELS_A_MM, pixels[1] / PIXELS_A_MM, pixels)
        rows = ink[0::2].astype(np.uint16) + ink[1::2]
        soft = ((rows[:, 0::2] + rows[:, 1::2] + 2) // 4).astype(np.uint8)
        self._drawn[key] = ink, soft
        self._bytes += ink.nbytes + soft.nbytes
        while self._bytes > KEPT and len(self._drawn) > 1:
            _, (old, old_soft) = self._drawn.popitem(last=False)
            self._bytes -= old.nbytes + old_soft.nbytes
        return ink, soft

    def _draw(self, room: Room, ink: Pixels, soft: Pixels, scene: Scene) -> None:
        left, top, right, bottom = _edges(room)
        areas = [(0, 0, right - left, bottom - top, "paper")]
        for fill in scene.fills:
            edges = _edges(Room(fill.x, fill.y, fill.wide, fill.high))
            a, b = max(0, edges[0] - left), max(0, edges[1] - top)
            areas.append((a, b, max(a, edges[2] - left), max(b, edges[3] - top), fill.colour))
        luma = self.planes[top:bottom, left:right]
        chroma = [self._chroma(n)[top // 2 : bottom // 2, left // 2 : right // 2] for n in (0, 1)]
        for a, b, c, d, colour in areas:
            table = self._table(colour)
            luma[b:d, a:c] = table[0][ink[b:d, a:c]]
            within = (slice(b // 2, d // 2), slice(a // 2, c // 2))
            for plane, values in zip(chroma, table[1:], strict=True):
                plane[within] = values[soft[within]]

    def _table(self, colour: str) -> tuple[Pixels, ...]:
        """Y, U and V for each amount of ink over a colour."""
        if colour not in self._tables:
            under = np.array(_yuv(self.look.colours[colour]))
            over = np.array(_yuv(self.look.colours["ink"]))
            share = np.arange(256)[:, np.newaxis] / 255
            mixed = np.rint(under + (over - under) * share).astype(np.uint8)
            self._tables[colour] = tuple(np.ascontiguousarray(mixed[:, n]) for n in range(3))
        return self._tables[colour]


def _edges(room: Room) -> tuple[int, int, int, int]:
    """Left, top, right and bottom in pixels, on even numbers, as two pixels share their colour."""
    edges = (room.x, room.y, room.x + room.wide, room.y + room.high)
    left, top, right, bottom = (2 * round(edge * PIXELS_A_MM / 2) for edge in edges)
    return left, top, right, bottom


def _yuv(colour: Colour) -> tuple[float, float, float]:
    """Y, U and V of a colour in the limited range (ITU-R BT.709-6, items 3.2 to 3.4)."""
    red, green, blue = (value / 255 for value in colour)
    luma = LUMA[0] * red + LUMA[1] * green + LUMA[2] * blue
    u = (blue - luma) / (2 * (1 - LUMA[2]))
    v = (red - luma) / (2 * (1 - LUMA[0]))
    return 16 + 219 * luma, 128 + 224 * u, 128 + 224 * v
