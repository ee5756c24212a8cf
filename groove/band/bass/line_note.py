"""The notes of a bass line while their pitches are still to be found."""

from __future__ import annotations

from dataclasses import dataclass

# Marks of a line in box notation that ask for more than a degree of the chord.
ROOT, TO_COME, FIFTH_TO_COME, APPROACH, WALK, DEAD = "1", "n", "v", "a", "w", "x"
LEADING = (APPROACH, FIFTH_TO_COME)


@dataclass(frozen=True, slots=True)
class BassNote:
    """A note of the bass line in time, its pitch still to be found.

    octave: octaves that the pitch is moved by. slide: whether it is slid into from below.
    """

    start: int
    length: int
    mark: str
    accent: bool = False
    octave: int = 0
    slide: bool = False

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.start + self.length
