"""The figures of the library: two or three strings, wherever they lie on the neck."""

from __future__ import annotations

from functools import cache

from groove.band.guitar.guitar_shapes import LAST_FRET, GuitarShape
from groove.band.guitar.shape_library import group

GROUPS = ("figures", "open-figures", "power")


def is_figure(place: GuitarShape) -> bool:
    """True if the library has a figure at a place."""
    return (place.strings, place.frets) in _places()


@cache
def _places() -> frozenset[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Strings and frets of all figures."""
    found = set()
    for name in GROUPS:
        each = group(name)
        for shape in each.shapes:
            room = LAST_FRET - max(shape.frets) if each.movable else 0
            for up in range(room + 1):
                found.add((shape.strings, tuple(fret + up for fret in shape.frets)))
    return frozenset(found)
