"""Double stops: two tones of a chord a third or a sixth apart, on two strings; low down a tenth.

Below E2, the guitar's lowest note, thirds and sixths are mud, and bass players take the third an
octave up (common practice).

In guitar tuning thirds lie on neighbouring strings and sixths on two with one left out between
(common practice). The rule for any tuning: of the strings next to and next but one to the lower
note's, for a tenth also the one beyond, the one on which the hand opens least, and no wider than
one finger left out between.

>>> from groove.instrument.fretboard import read_tuning
>>> from groove.theory.chords import parse_chord
>>> stops = double_stops(read_tuning("guitar"), parse_chord("A7"))
>>> [str(stop) for stop in stops if stop.names == ("C#", "A")][:2]
['sixth C# A: string 3 fret 6, string 1 fret 5', 'sixth C# A: string 4 fret 11, string 2 fret 10']
"""

from __future__ import annotations

from dataclasses import dataclass

from groove.instrument.fretboard import OCTAVE, Place, Tuning
from groove.instrument.material import Material, arpeggio
from groove.instrument.positions import Dot, dot_at, positions
from groove.theory.chords import Chord

INTERVALS = {3: "third", 4: "third", 8: "sixth", 9: "sixth"}  # by semitones
LOW_INTERVALS = {15: "tenth", 16: "tenth"}
CLEAR = 40  # MIDI note, E2: below it only the low intervals are clear
LAST_FRET = 15  # above it frets are too narrow for two fingers side by side
WIDEST = 2  # fingers from the lower note to the upper
OPENED, OUTSIDE, FROM_HOME = 2, 3, 1  # costs: a fret apart, no position, four frets away
HOME_FRET, HOME_STEP = 5, 4


@dataclass(frozen=True, slots=True)
class DoubleStop:
    """Two notes at once, the lower first.

    interval: ``"third"``, ``"sixth"`` or ``"tenth"``. numbers: the positions of the chord (1 to
    5) that hold both, as far as the neck goes up. cost: how uncomfortable; two for each fret that
    lies between the two, three where no position holds both, one for each four frets between the
    stop and the fifth fret.
    """

    interval: str
    lower: Dot
    upper: Dot
    numbers: tuple[int, ...]
    cost: int

    @property
    def names(self) -> tuple[str, str]:
        """The names of both notes, the lower first."""
        return self.lower.name, self.upper.name

    @property
    def places(self) -> tuple[Place, Place]:
        """The places of both notes, the lower first."""
        return (
            Place(self.lower.string, self.lower.fret),
            Place(self.upper.string, self.upper.fret),
        )

    def __str__(self) -> str:
        low, high = self.lower, self.upper
        return (
            f"{self.interval} {low.name} {high.name}: string {low.string} fret {low.fret}, "
            f"string {high.string} fret {high.fret}"
        )


def double_stops(tuning: Tuning, chord: Chord) -> tuple[DoubleStop, ...]:
    """Every third, sixth or low tenth of a chord up to the 15th fret, most comfortable first."""
    material = arpeggio(chord)
    shapes = [
        {(dot.string, dot.fret) for dot in position.dots}
        for position in positions(tuning, material)
    ]
    found = []
    for string in tuning.strings:
        for fret in range(min(LAST_FRET, tuning.frets) + 1):
            low = Place(string, fret)
            if material.tone(tuning.pitch(low)):
                found += _above(tuning, material, low, shapes)
    return tuple(sorted(found, key=_comfort))


def _comfort(stop: DoubleStop) -> tuple[int, int, int]:
    return stop.cost, min(stop.lower.fret, stop.upper.fret), -stop.lower.string


def _above(
    tuning: Tuning, material: Material, low: Place, shapes: list[set[tuple[int, int]]]
) -> list[DoubleStop]:
    """The double stops over a lower note."""
    stops = []
    bottom_note = tuning.pitch(low)
    intervals, strings = (INTERVALS, 2) if bottom_note >= CLEAR else (LOW_INTERVALS, 3)
    for semitones, interval in intervals.items():
        pitch = bottom_note + semitones
        if not material.tone(pitch):
            continue
        near = [
            place
            for place in tuning.places(pitch)
            if place.string != low.string
            and abs(place.string - low.string) <= strings
            and abs(place.fret - low.fret) <= WIDEST * tuning.frets_a_finger
            and place.fret <= LAST_FRET
        ]
        if not near:
            continue
        high = min(near, key=lambda p: (abs(p.fret - low.fret), abs(p.string - low.string)))
        numbers = tuple(
            number
            for number, shape in enumerate(shapes, 1)
            if any(
                {(p.string, p.fret - up) for p in (low, high)} <= shape for up in (0, OCTAVE)
            )
        )  # fmt: skip
        apart = abs(high.fret - low.fret)
        bottom = min(high.fret, low.fret)
        hand = max(bottom, 1)
        stops.append(
            DoubleStop(
                interval,
                dot_at(tuning, material, low, hand),
                dot_at(tuning, material, high, hand),
                numbers,
                OPENED * apart
                + OUTSIDE * (not numbers)
                + FROM_HOME * (abs(bottom - HOME_FRET) // HOME_STEP),
            )
        )
    return stops
