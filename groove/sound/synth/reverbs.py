"""The room that a band plays in: the settings of the synthesiser's reverb, as data.

They stand in ``patterns/rooms.toml``, by the family of the drum pattern or by the pattern itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from groove import library
from groove.rhythm.patterns import pattern


@dataclass(frozen=True, slots=True)
class Room:
    """A room: size, damping of the treble, width and level of its reverb, each 0 to 1."""

    size: float
    damping: float
    width: float
    level: float

    def __post_init__(self) -> None:
        for value in (self.size, self.damping, self.width, self.level):
            if not 0 <= value <= 1:
                raise ValueError(f"a room's figures go from 0 to 1, found {value}")


def room_of(drums: str) -> Room:
    """The room for the drum pattern of this name: its own, else its family's.

    >>> room_of("slow-ballad").size > room_of("sixteenth-funk").size
    True
    """
    own, families = _rooms()
    return own[drums] if drums in own else families[pattern("drums", drums).options["family"]]


@cache
def _rooms() -> tuple[dict[str, Room], dict[str, Room]]:
    """The rooms by pattern and by family."""
    content = library.table("rooms")
    own, families = (
        {name: Room(**figures) for name, figures in content[table].items()}
        for table in ("patterns", "families")
    )
    return own, families
