"""The room that a band plays in, read from ``patterns/rooms.toml``: by the family of the drum
pattern or by the pattern itself. What it adds to a sound: `groove/sound/mix/impulse_response.py`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from groove import library
from groove.rhythm.pattern_table import Table

if TYPE_CHECKING:
    from groove.rhythm.patterns import DrumPattern

SHORTEST, LONGEST = 0.1, 1.4
"""Seconds of decay: with a longer one, chords would blur into one another."""

SMALLEST, LARGEST = 2.0, 60.0
"""Metres."""

LEVELS = -24.0, 12.0

Place = tuple[float, float, float]
"""Metres from one end wall, from the left wall and from the floor."""


@dataclass(frozen=True, slots=True)
class Decay:
    """The seconds in which sound of 125 Hz, 1 kHz and 8 kHz dies away by 60 dB, 0.1 to 1.4."""

    low: float
    mid: float
    high: float

    def __post_init__(self) -> None:
        for name, value in (("low", self.low), ("mid", self.mid), ("high", self.high)):
            _require(f"decay: {name}", value, SHORTEST, LONGEST)


@dataclass(frozen=True, slots=True)
class Room:
    """A room with a band and a listener in it.

    metres: its length, width and height, 2 to 60. band, listener: where they are. width: 0 to 1;
    how far it spreads, 0 being one sound in the middle. level: in dB, -24 to 12, of what a part
    sends to it in full; at 0 white noise in the middle makes as much sound in the room as it is
    itself. Raises ValueError for anything else.
    """

    metres: Place
    decay: Decay
    band: Place
    listener: Place
    width: float
    level: float

    def __post_init__(self) -> None:
        for size in self.metres:
            _require("metres", size, SMALLEST, LARGEST)
        for name, place in (("band", self.band), ("listener", self.listener)):
            for along, size in zip(place, self.metres, strict=True):
                _require(name, along, 0.1, size - 0.1)
        if self.band == self.listener:
            raise ValueError(f"listener: found {list(self.listener)}, where the band is")
        _require("width", self.width, 0.0, 1.0)
        _require("level", self.level, *LEVELS)


def _require(name: str, value: float, low: float, high: float) -> None:
    if not low <= value <= high:
        raise ValueError(f"{name}: found {value:g}; {low:g} to {high:g} are allowed")


def room_of(drums: DrumPattern) -> Room:
    """The room for a drum pattern: its own, else its family's.

    >>> from groove.rhythm.patterns import drum_pattern
    >>> ballad, funk = (room_of(drum_pattern(n)) for n in ("slow-ballad", "sixteenth-funk"))
    >>> ballad.decay.mid > funk.decay.mid
    True
    """
    content = library.table("rooms")
    name = content["patterns"].get(drums.name) or content["families"][drums.family]
    return rooms()[name]


@cache
def rooms() -> dict[str, Room]:
    """The rooms by name. Raises ValueError for data out of range, naming it."""
    return {name: read_room(name, found) for name, found in library.table("rooms")["rooms"].items()}


def read_room(name: str, content: dict[str, Any]) -> Room:
    """The room of that name in the data; ValueError for data that no room has."""
    table = Table(content, f"patterns/rooms.toml: {name}:")
    decay = table.table("decay")
    seconds = [decay.take(part, float) for part in ("low", "mid", "high")]
    decay.end()
    metres, band, listener = (_place(table, key) for key in ("metres", "band", "listener"))
    width, level = table.take("width", float), table.take("level", float)
    table.end()
    try:
        return Room(metres, Decay(*seconds), band, listener, width, level)
    except ValueError as error:
        raise ValueError(f"patterns/rooms.toml: {name}: {error}") from None


def _place(table: Table, key: str) -> Place:
    found = table.take(key, list)
    if len(found) != 3 or any(type(along) not in (int, float) for along in found):
        raise table.error(key, f"found {found}; three numbers of metres are needed")
    return float(found[0]), float(found[1]), float(found[2])
