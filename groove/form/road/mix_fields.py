"""The fields of a form that move its players in the mix: how loud, and where from left to right."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from groove.errors import nearest, quoted
from groove.form.road.directions import TACET
from groove.form.values import number_between

SOFTEST, LOUDEST = -12, 6
"""dB from the mix as the program makes it."""
FULL = 100
"""The place that is farthest left or right."""
SIDES = {"left": -1, "middle": 0, "right": 1}
_PLACE = re.compile(r"(left|right)\s+(\d{1,3})")

_decibels = number_between(SOFTEST, LOUDEST, "dB (0 is the mix as it is)")


def read_levels(value: Any) -> tuple[tuple[str, float], ...]:
    """By player the dB by which it is louder or softer than the mix has it, -12 to 6."""
    return _by_player(value, _decibels, "{ bass = 3, drums = -2 }")


def read_places(value: Any) -> tuple[tuple[str, int], ...]:
    """By player its place from left, -100, to right, 100."""
    return _by_player(value, _place, '{ bass = "left 30", comping = "right 50" }')


def place_text(place: int) -> str:
    """A place as a form file says it.

    >>> [place_text(place) for place in (-30, 0, 100)]
    ['left 30', 'middle', 'right 100']
    """
    return f"{'left' if place < 0 else 'right'} {abs(place)}" if place else "middle"


def _by_player(value: Any, read: Callable[[Any], Any], example: str) -> tuple[tuple[str, Any], ...]:
    if not isinstance(value, Mapping) or not value:
        raise ValueError(f"found {quoted(value)}; write {example}")
    found = []
    for player, each in value.items():
        if player not in TACET:
            raise ValueError(f"found {quoted(player)}; {nearest(player, TACET)}")
        try:
            found.append((player, read(each)))
        except ValueError as error:
            raise ValueError(f"{player}: {error}") from None
    return tuple(found)


def _place(value: Any) -> int:
    """A place from -100 to 100; ``"left 30"`` is -30, ``"right"`` 100, ``"middle"`` 0."""
    fault = f'found {quoted(value)}; write "left 30", "middle", "right 100", or -100 to 100'
    if isinstance(value, str):
        text = " ".join(value.lower().split())
        if text in SIDES:
            return SIDES[text] * FULL
        match = _PLACE.fullmatch(text)
        if match is None or int(match[2]) > FULL:
            raise ValueError(fault)
        return SIDES[match[1]] * int(match[2])
    if isinstance(value, bool) or not isinstance(value, int | float) or not -FULL <= value <= FULL:
        raise ValueError(fault)
    return round(value)
