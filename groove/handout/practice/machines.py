"""The figures of the page's practice machines, from ``patterns/machines.toml``."""

from __future__ import annotations

from typing import Any

from groove import library
from groove.rhythm.meter import Meter


def ready_machines() -> list[dict[str, Any]]:
    """The ready machines, in their order: name and figures of each."""
    return [
        {
            "name": machine["name"],
            "figures": {name: value for name, value in machine.items() if name != "name"},
        }
        for machine in library.table("machines")["ready"]
    ]


def backbeats(meter: Meter) -> list[int]:
    """The ticks, from the bar line, of the beats that a click on the backbeats sounds on.

    They are those of each group of beats, and of the whole bar where groups are the beats. A bar of
    one beat has that one.

    >>> [tick // 960 + 1 for tick in backbeats(Meter.parse("4/4"))]
    [2, 4]
    """
    places: dict[str, list[int]] = library.table("machines")["backbeats"]["groups"]
    beats, groups = meter.beat_starts, meter.group_starts
    starts = (0,) if set(beats) <= set(groups) else groups
    found = []
    for start, end in zip(starts, (*starts[1:], meter.bar_ticks), strict=True):
        inside = [beat for beat in beats if start <= beat < end]
        found += [inside[place - 1] for place in places[str(len(inside))]]
    return found
