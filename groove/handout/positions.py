"""Positions: what lies under one hand, for any tuning.

The rule. A hand covers four frets, one finger each (seven on short necks, two frets a finger);
the first or the fourth finger may stretch one fret further. The five positions of a root begin
with the five notes of its pentatonic on the lowest string, minor where the third is minor, else
major. For each, the hand lies where the pentatonic needs the fewest stretches, and then as near
as can be to that first note; it does not reach the pentatonic note below on that string.
Scales and arpeggios of the root keep these five hands. In a position stands every note under
the hand; a note between its lowest and its highest that no finger has there is reached by a
stretch, on the string that has fewer notes. Positions count up from the one that begins on the
root, and each stands as low on the neck as it can; at the nut, where a finger can't reach back,
a stretch is made the other way.

In guitar tuning these are the five shapes of the trade, from the root up E, D, C, A, G (common
practice), and pentatonics have two notes a string.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any

from groove.errors import GrooveError
from groove.handout.fretboard import Place, Tuning
from groove.handout.material import Material, scale
from groove.theory.pitch import NoteName

OCTAVE = 12
LOWEST_MOVABLE = 2  # below it a hand plays open strings too
HIGHEST_HAND = 10  # above it nobody stays for a whole form unless lower hands lack notes
HOME_SHARE = 5 / 24  # of the neck, where frets are neither wide nor far: its fifth of 24 frets
GUITAR_STEPS = (5, 5, 5, 4, 5)  # semitones from string to string
NO_NUT = (-(10**6), 10**6)  # a neck without ends: what a hand does is the same everywhere
GUITAR_FORMS = "EDCAG"  # the open chord whose shape is inside, position by position


@dataclass(frozen=True, slots=True)
class Dot:
    """A note on the neck: place, MIDI note, name, degree, role (see material) and finger.

    finger: 1 to 4, 0 for an open string.
    """

    string: int
    fret: int
    pitch: int
    name: str
    degree: str
    role: str
    finger: int


@dataclass(frozen=True, slots=True)
class Position:
    """Some material under one hand.

    fret: where the first finger is, from 1. number: 1 to 5 among the five positions, 0 for any
    other. form: the letter of the guitar's shape, empty in other tunings. dots: string by
    string, each upwards. missing: notes that the hand can't reach between its lowest and its
    highest, as MIDI. complete: whether every tone of the material is there.
    """

    title: str
    fret: int
    number: int
    form: str
    dots: tuple[Dot, ...]
    missing: tuple[int, ...]
    complete: bool

    @property
    def lowest(self) -> int:
        """The lowest fret played; that of the first finger where there is nothing to play."""
        return min((dot.fret for dot in self.dots), default=self.fret)

    @property
    def highest(self) -> int:
        """The highest fret played; that of the first finger where there is nothing to play."""
        return max((dot.fret for dot in self.dots), default=self.fret)


def as_data(thing: Any) -> dict[str, Any]:
    """Anything that these modules find, a Position, DoubleStop, Note, ..., as data for JSON.

    Lengths in beats become text, ``"3/2"``.
    """

    def plain(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        return {key: str(value) if isinstance(value, Fraction) else value for key, value in pairs}

    return asdict(thing, dict_factory=plain)


def positions(tuning: Tuning, material: Material) -> tuple[Position, ...]:
    """The five positions of some material, together over twelve frets.

    Raises GrooveError where the neck is too short for one of them.
    """
    hands = _five_hands(tuning, material.root, material.minor)
    return tuple(_placed(tuning, material, hand, n) for n, hand in enumerate(hands, 1))


def at_fret(tuning: Tuning, material: Material, fret: int) -> Position:
    """What lies under a hand whose first finger plays a fret; at fret 1 also open strings.

    Raises GrooveError for a fret below 1 or too high for a hand.
    """
    last = tuning.frets - tuning.reach + 1
    if not 1 <= fret <= last:
        raise GrooveError(f"position {fret} is not on this neck; there are 1 to {last}")
    low = 0 if fret == 1 else fret
    held, missing = _under_hand(
        tuning, {t.pitch_class for t in material.tones}, low, fret + tuning.reach - 1,
        (0 if fret == 1 else 1, tuning.frets),
    )  # fmt: skip
    return _position(tuning, material, fret, 0, held, missing)


def one_position(
    tuning: Tuning, materials: Sequence[Material], fret: int | None = None
) -> tuple[Position, ...]:
    """All of some materials, say a form's arpeggios, in one position, in their order.

    fret: for the first finger; where left out, the position in which the most chord tones can
    be had, up to the tenth fret if it can be, then the fewest notes are missing, then the
    fewest stretched, then the nearest to the fifth fret (on short necks a lower one); without
    open strings.
    """
    if fret is not None:
        return tuple(at_fret(tuning, material, fret) for material in materials)
    last = min(LOWEST_MOVABLE + OCTAVE - 1, tuning.frets - tuning.reach + 1)
    every = [
        tuple(at_fret(tuning, material, hand) for material in materials)
        for hand in range(LOWEST_MOVABLE, last + 1)
    ]
    return min(every, key=lambda together: _trouble(tuning, together))


def _trouble(tuning: Tuning, together: tuple[Position, ...]) -> tuple[int, ...]:
    hand = together[0].fret
    under = range(hand, hand + tuning.reach)
    return (
        sum(not position.complete for position in together),
        hand > HIGHEST_HAND,
        sum(len(position.missing) for position in together),
        sum(dot.fret not in under for position in together for dot in position.dots),
        abs(hand - int(tuning.frets * HOME_SHARE)),
    )


def _five_hands(tuning: Tuning, root: NoteName, minor: bool) -> list[int]:
    """The frets of the first finger in the five positions, on a neck without a nut."""
    pentatonic = scale(root, "minor pentatonic" if minor else "major pentatonic")
    classes = {tone.pitch_class for tone in pentatonic.tones}
    lowest = tuning.open(tuning.lowest_string)
    first = (root.pitch_class - lowest) % OCTAVE
    starts = [f for f in range(first - OCTAVE, first + OCTAVE) if (lowest + f) % OCTAVE in classes]
    hands = []
    for before, start in list(pairwise(starts))[len(classes) - 1 :]:

        def trouble(hand: int, start: int = start) -> tuple[int, int, int]:
            held, missing = _under_hand(tuning, classes, hand, hand + tuning.reach - 1, NO_NUT)
            outside = sum(not hand <= p.fret < hand + tuning.reach for p in held)
            return len(missing), outside, start - hand

        hands.append(min(range(max(before, start - tuning.reach) + 1, start + 1), key=trouble))
    return hands


def _placed(tuning: Tuning, material: Material, hand: int, number: int) -> Position:
    """A position of the endless neck set down as low as the nut allows."""
    classes = {tone.pitch_class for tone in material.tones}
    held, missing = _under_hand(tuning, classes, hand, hand + tuning.reach - 1, NO_NUT)
    lowest = min((place.fret for place in held), default=hand)
    if hand % OCTAVE == 0 and lowest < hand:
        # A finger would reach back below the nut: there the stretch is made the other way.
        near, lost = _under_hand(tuning, classes, 0, tuning.reach - 1, (0, tuning.frets))
        if len(lost) <= len(missing):
            return _position(tuning, material, 1, number, near, lost)
    down = lowest // OCTAVE * OCTAVE
    held = [Place(place.string, place.fret - down) for place in held]
    if any(place.fret > tuning.frets for place in held):
        raise GrooveError(f"{tuning.title}: the neck is too short for position {number}")
    missing = [pitch - down for pitch in missing]
    return _position(tuning, material, max(hand - down, 1), number, held, missing)


def _position(
    tuning: Tuning,
    material: Material,
    hand: int,
    number: int,
    held: Sequence[Place],
    missing: Sequence[int],
) -> Position:
    dots = tuple(dot_at(tuning, material, place, hand) for place in held)
    steps = tuple(b - a for a, b in pairwise(tuning.open_strings))
    return Position(
        title=material.title,
        fret=hand,
        number=number,
        form=GUITAR_FORMS[number - 1] if number and steps == GUITAR_STEPS else "",
        dots=dots,
        missing=tuple(missing),
        complete={d.pitch % OCTAVE for d in dots} == {t.pitch_class for t in material.tones},
    )


def dot_at(tuning: Tuning, material: Material, place: Place, hand: int) -> Dot:
    """The dot for a place that sounds one of the material's tones."""
    pitch = tuning.pitch(place)
    tone = material.tone(pitch)
    if tone is None:
        raise ValueError(f"{place} sounds no tone of {material.title}")
    finger = tuning.finger(place.fret, hand)
    return Dot(place.string, place.fret, pitch, tone.name, tone.degree, tone.role, finger)


def _under_hand(
    tuning: Tuning, classes: set[int], low: int, high: int, neck: tuple[int, int]
) -> tuple[list[Place], list[int]]:
    """Places of some pitch classes from fret low to high, stretches added; what is missing."""
    held = [
        Place(string, fret)
        for string in tuning.strings
        for fret in range(low, high + 1)
        if (tuning.open(string) + fret) % OCTAVE in classes
    ]
    sounding = {tuning.pitch(place) for place in held}
    on_string = Counter(place.string for place in held)
    used: Counter[int] = Counter()
    missing = []
    for pitch in range(min(sounding, default=0), max(sounding, default=0)):
        if pitch % OCTAVE not in classes or pitch in sounding:
            continue
        stretches = [
            Place(string, fret)
            for string in tuning.strings
            for fret in (low - 1, high + 1)
            if tuning.open(string) + fret == pitch and neck[0] <= fret <= neck[1]
        ]
        if not stretches:
            missing.append(pitch)
            continue
        best = min(stretches, key=lambda p: (on_string[p.string], -used[p.fret], p.fret))
        held.append(best)
        on_string[best.string] += 1
        used[best.fret] += 1
    return sorted(held, key=lambda place: (-place.string, place.fret)), missing
