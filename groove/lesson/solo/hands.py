"""The hand of a solo: the frets under it, where each note lies there, and double stops.

A hand stays in one place for a phrase: four frets and one to stretch for, eight on short necks. In
them the notes of a phrase get the places that cross the fewest strings, as
groove.instrument.fingerings counts it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from groove.errors import GrooveError
from groove.instrument.fingerings import CHANGED, PASSED
from groove.instrument.fretboard import Place, Tuning
from groove.instrument.material import scale
from groove.instrument.positions import Position, at_fret, positions
from groove.lesson.solo.rhythms import rules
from groove.theory.motion import OCTAVE
from groove.theory.pitch import NoteName

FEWEST_NOTES = 5
LAST_HAND = 12


@dataclass(frozen=True)
class Hand:
    """A hand in one place. fret: of the first finger; frets: the first and the last that it plays.

    box: the places of the pentatonic under it; boxed: whether it plays no others.
    """

    tuning: Tuning
    fret: int
    frets: tuple[int, int]
    box: frozenset[Place]
    number: int = 1
    boxed: bool = False

    def places(self, pitch: int) -> list[Place]:
        """The place of a note under the hand."""
        low, high = self.frets
        found = [place for place in self.tuning.places(pitch) if low <= place.fret <= high]
        return [place for place in found if place in self.box] if self.boxed else found

    @cached_property
    def pitches(self) -> list[int]:
        """All notes under the hand in the range of a solo, upwards."""
        low, high = self.frets
        opens = [self.tuning.open(string) for string in self.tuning.strings]
        top = max(opens) + high
        floor = max(min(opens) + low, top - rules()["reach"]["deep"])
        return [pitch for pitch in range(floor, top + 1) if self.places(pitch)]

    def finger(self, place: Place) -> int:
        """The finger for a place."""
        return self.tuning.finger(place.fret, self.fret)

    def fingered(self, pitches: Sequence[int]) -> list[Place]:
        """A place for each note of a phrase, with the fewest changes of string."""
        best: list[dict[Place, tuple[float, Place | None]]] = []
        for pitch in pitches:
            here: dict[Place, tuple[float, Place | None]] = {}
            for place in self.places(pitch):
                own = rules()["reach"]["stretched"] * (place.fret != 0 and not self._under(place))
                if not best:
                    here[place] = (own, None)
                    continue
                cost, before = min(
                    (spent + _crossing(earlier, place), earlier)
                    for earlier, (spent, _) in best[-1].items()
                )
                here[place] = (cost + own, before)
            best.append(here)
        if not best:
            return []
        last: Place | None = min(best[-1], key=lambda place: (best[-1][place][0], place))
        found: list[Place] = []
        for here in reversed(best):
            assert last is not None
            found.append(last)
            last = here[last][1]
        return found[::-1]

    def _under(self, place: Place) -> bool:
        return self.fret <= place.fret < self.fret + self.tuning.reach


def _crossing(before: Place, after: Place) -> int:
    apart = abs(before.string - after.string)
    crossed = CHANGED + PASSED * (apart - 1) if apart else 0
    reach: dict[str, int] = rules()["reach"]
    if before.fret and after.fret and abs(before.fret - after.fret) > reach["jump"]:
        return reach["jumped"] + crossed
    return crossed


def home_hands(tuning: Tuning, tonic: NoteName, name: str, learner: str) -> tuple[Hand, ...]:
    """The hand of box one, and the next higher one where two are wanted.

    Beginners stay at the nut, with open strings, where it lies there; others play it an octave
    higher on necks that are long enough, where strings can be bent.
    """
    figures = rules()["learners"][learner]
    count, boxed = figures["hands"], figures["boxed"]
    box = all_boxes(tuning, tonic, name)
    home = box[0]
    if figures["octave_up"] and home.fret <= rules()["reach"]["nut"] and bends_strings(tuning):
        high = home.lowest + OCTAVE
        if high + tuning.reach < tuning.frets:
            found = [hand_of(tuning, at_fret(tuning, scale(tonic, name), high))]
            return tuple(found)
    found = [hand_of(tuning, home, boxed=boxed)]
    higher = [p for p in box[1:] if home.fret < p.fret <= home.fret + tuning.reach]
    if count > 1 and higher:
        found.append(hand_of(tuning, min(higher, key=lambda p: p.fret), boxed=boxed))
    return tuple(found)


def all_boxes(tuning: Tuning, tonic: NoteName, name: str) -> tuple[Position, ...]:
    """The five positions of a pentatonic; on a neck too short for them those that there are."""
    material = scale(tonic, name)
    try:
        return positions(tuning, material)
    except GrooveError:
        last = tuning.frets - tuning.reach + 1
        return (at_fret(tuning, material, min(max(1, tonic.pitch_class), last)),)


def bends_strings(tuning: Tuning) -> bool:
    """True if strings are bent on the instrument: a guitar's, not short necks or bass strings."""
    return len(tuning.open_strings) >= 6 and tuning.frets_a_finger == 1


def hand_of(
    tuning: Tuning, position: Position, *, boxed: bool = False, reaches: bool = True
) -> Hand:
    """The hand of a position, with the fret beside it that one finger stretches to.

    boxed: whether it plays the notes of the position alone; reaches: whether it stretches.
    """
    low, high = position.lowest, position.highest
    widest = tuning.reach + 1 if reaches else 0
    if high - low + 1 < widest and low > 1:
        low -= 1
    if high - low + 1 < widest and high < tuning.frets:
        high = min(low + widest - 1, tuning.frets)
    box = frozenset(Place(dot.string, dot.fret) for dot in position.dots)
    return Hand(tuning, position.fret, (low, high), box, position.number, boxed)
