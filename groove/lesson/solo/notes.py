"""Notes and phrases of a solo while they are made."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from groove.instrument.fretboard import Place
from groove.lesson.solo.hands import Hand
from groove.lesson.solo.ladders import Ladder
from groove.lesson.solo.plan import Phrase
from groove.lesson.solo.rhythms import Frame
from groove.theory.pitch import NoteName


@dataclass(slots=True)
class SoloNote:
    """A note while it is being made. pitch: as it sounds, at the top of a bend."""

    start: int
    length: int
    pitch: int
    ladder: Ladder
    place: Place
    strong: bool = False
    joined: str = ""
    bend: Fraction = Fraction(0)
    release: bool = False
    below: tuple[int, Place] | None = None  # the lower note of a double stop
    name: NoteName | None = None  # where it is not on the ladder

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.start + self.length


@dataclass(slots=True)
class MadeLine:
    """A phrase with its notes, and the hand that plays them."""

    phrase: Phrase
    frame: Frame
    hand: Hand
    notes: list[SoloNote]
    treatment: str = ""
