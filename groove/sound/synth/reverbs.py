"""The reverb settings of a band, read from ``patterns/reverbs.toml``: by the family of the drum
pattern or by the pattern itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from groove import library
from groove.rhythm.patterns import DrumPattern


@dataclass(frozen=True, slots=True)
class Reverb:
    """The size of the imitated room, damping of its treble, width and level, each 0 to 1."""

    size: float
    damping: float
    width: float
    level: float

    def __post_init__(self) -> None:
        for value in (self.size, self.damping, self.width, self.level):
            if not 0 <= value <= 1:
                raise ValueError(f"reverb settings go from 0 to 1, found {value}")


def reverb_of(drums: DrumPattern) -> Reverb:
    """The reverb for a drum pattern: its own, else its family's.

    >>> from groove.rhythm.patterns import drum_pattern
    >>> ballad, funk = (reverb_of(drum_pattern(n)) for n in ("slow-ballad", "sixteenth-funk"))
    >>> ballad.size > funk.size
    True
    """
    own, families = _reverbs()
    return own[drums.name] if drums.name in own else families[drums.family]


@cache
def _reverbs() -> tuple[dict[str, Reverb], dict[str, Reverb]]:
    """The reverbs by pattern and by family."""
    content = library.table("reverbs")
    own, families = (
        {name: Reverb(**figures) for name, figures in content[table].items()}
        for table in ("patterns", "families")
    )
    return own, families
