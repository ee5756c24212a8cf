"""Positions: the notes under one hand, for any tuning.

The rule. A hand covers four frets, one finger each (seven on short necks, two frets a finger); the
first or the fourth finger may stretch one fret further. The five positions of a root begin with the
five notes of its pentatonic on the lowest string, minor where the third is minor, else major. For
each, the hand lies where the pentatonic needs the fewest stretches, and then as near as can be to
that first note; it does not reach the pentatonic note below on that string. Scales and arpeggios of
the root keep these five hands. Where a note between the lowest and the highest has no place under
the hand, one finger stretches: the one with which the fewest notes are missing, then the one that
brings the fewest along. A position holds every note of the material within its frets, on every
string, the outer ones included. Positions count up from the one that begins on the root, and each
stands as low on the neck as it can. At fret 1 open strings sound as well. One that would reach a
fret behind the nut is the open position too, if as many of its notes lie on open strings as behind
the nut, and no other is there: notes that would lie behind are found on the next lower string.
Either still begins on the same note of the lowest string.

In guitar tuning these are the five shapes of the trade, from the root up E, D, C, A, G (common
practice), and pentatonics have two notes a string.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import Any

from groove.errors import GrooveError, OptionError
from groove.instrument.fretboard import OCTAVE, Place, Tuning
from groove.instrument.material import Material, scale
from groove.instrument.under_hand import fingers, missing, shown, sounding, stretched, within
from groove.theory.pitch import NoteName

LOWEST_MOVABLE = 2  # below it a hand plays open strings too
HIGHEST_HAND = 10  # above it a hand stays for a whole form only if lower ones lack notes
HOME_SHARE = 5 / 24  # of the neck, where frets are neither wide nor far: its fifth of 24 frets
GUITAR_STEPS = (5, 5, 5, 4, 5)  # semitones from string to string
ENDLESS = 10**6  # frets of a neck without a nut, where a hand does the same everywhere
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
    highest, as MIDI. complete: whether every tone of the material is there. frets: the first
    and the last to show, 0 for open strings; every note of the material between them is a dot.
    """

    title: str
    fret: int
    number: int
    form: str
    dots: tuple[Dot, ...]
    missing: tuple[int, ...]
    complete: bool
    frets: tuple[int, int]

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


@lru_cache(maxsize=512)
def positions(tuning: Tuning, material: Material) -> tuple[Position, ...]:
    """The five positions of some material, together over twelve frets.

    Raises GrooveError where the neck is too short for one of them.
    """
    hands = _five_hands(tuning, material.root, material.minor)
    at_nut = {hand for hand, _ in hands if hand % OCTAVE in (0, 1)}
    return tuple(
        _placed(tuning, material, hand, neck, number, nut_free=not at_nut - {hand})
        for number, (hand, neck) in enumerate(hands, 1)
    )


def at_fret(tuning: Tuning, material: Material, fret: int) -> Position:
    """The material under a hand whose first finger plays a fret; at fret 1 also open strings.

    Raises GrooveError for a fret below 1 or too high for a hand.
    """
    return _one_hand(tuning, [material], fret)[0]


def one_position(
    tuning: Tuning, materials: Sequence[Material], fret: int | None = None
) -> tuple[Position, ...]:
    """All of some materials, say a form's arpeggios, in one position, in their order.

    They share their frets, so that all of them show the same piece of neck.

    fret: for the first finger; where left out, the position in which the most chord tones can
    be had, up to the tenth fret if it can be, then the fewest notes are missing, then the
    fewest materials need a stretch, then the nearest to the fifth fret (on short necks a lower
    one); without open strings.
    """
    if fret is not None:
        return _one_hand(tuning, materials, fret)
    last = min(LOWEST_MOVABLE + OCTAVE - 1, tuning.frets - tuning.reach + 1)
    every = [_one_hand(tuning, materials, hand) for hand in range(LOWEST_MOVABLE, last + 1)]
    return min(every, key=lambda together: _trouble(tuning, together))


def _trouble(tuning: Tuning, together: tuple[Position, ...]) -> tuple[int, ...]:
    hand = together[0].fret
    under = range(hand, hand + tuning.reach)
    return (
        sum(not position.complete for position in together),
        hand > HIGHEST_HAND,
        sum(len(position.missing) for position in together),
        sum(any(dot.fret not in under for dot in position.dots) for position in together),
        abs(hand - int(tuning.frets * HOME_SHARE)),
    )


def beside(
    tuning: Tuning,
    materials: Sequence[Material],
    wholes: Sequence[Material],
    fret: int | None = None,
) -> tuple[Position, ...]:
    """More notes under the hand that some materials share: scales beside the arpeggios.

    materials, fret: as in ``one_position``, whose hand it is, stretched as there. wholes: what is
    shown, in the same order or another; all in the same frets.
    """
    hand = one_position(tuning, materials, fret)[0].fret
    return _held(tuning, wholes, hand, _under(tuning, materials, hand))


def _one_hand(tuning: Tuning, materials: Sequence[Material], fret: int) -> tuple[Position, ...]:
    """Some materials under a hand at a fret, at fret 1 with open strings, the frets in common."""
    return _held(tuning, materials, fret, _under(tuning, materials, fret))


def _under(tuning: Tuning, materials: Sequence[Material], fret: int) -> tuple[int, int]:
    """The first and last fret that a hand at a fret takes in to play some materials."""
    last = tuning.frets - tuning.reach + 1
    if not 1 <= fret <= last:
        raise OptionError("position", f"{fret} is not on this neck; there are 1 to {last}")
    low = 0 if fret == 1 else fret
    neck = (0 if fret == 1 else 1, tuning.frets)
    classes = [_classes(material) for material in materials]
    return stretched(tuning, classes, (low, fret + tuning.reach - 1), neck)


def _held(
    tuning: Tuning, materials: Sequence[Material], fret: int, under: tuple[int, int]
) -> tuple[Position, ...]:
    """Some materials between two frets, by a hand at a fret."""
    held = [within(tuning, _classes(material), under) for material in materials]
    frets = shown([place for places in held for place in places], under)
    return tuple(
        _position(tuning, material, fret, 0, places, frets)
        for material, places in zip(materials, held, strict=True)
    )


def _five_hands(tuning: Tuning, root: NoteName, minor: bool) -> list[tuple[int, tuple[int, int]]]:
    """The frets of the first finger in the five positions, on a neck without a nut, and between
    which each may stretch."""
    pentatonic = scale(root, "minor pentatonic" if minor else "major pentatonic")
    classes = {tone.pitch_class for tone in pentatonic.tones}
    lowest = tuning.open(tuning.lowest_string)
    first = (root.pitch_class - lowest) % OCTAVE
    starts = [f for f in range(first - OCTAVE, first + OCTAVE) if (lowest + f) % OCTAVE in classes]
    hands = []
    for before, start in list(pairwise(starts))[len(classes) - 1 :]:
        neck = (before + 1, ENDLESS)

        def trouble(hand: int, start: int = start, neck: tuple[int, int] = neck) -> list[int]:
            under = fingers(tuning, hand)
            wanted = missing(tuning, classes, within(tuning, classes, under))
            reached = within(tuning, classes, stretched(tuning, [classes], under, neck))
            lost = len(wanted - sounding(tuning, reached))
            return [lost, len(wanted) - lost, start - hand]

        near = range(max(before, start - tuning.reach) + 1, start + 1)
        hands.append((min(near, key=trouble), neck))
    return hands


def _placed(
    tuning: Tuning,
    material: Material,
    hand: int,
    neck: tuple[int, int],
    number: int,
    *,
    nut_free: bool,
) -> Position:
    """A position of the endless neck set down as low as the nut allows.

    nut_free: whether none of the others is there.
    """
    classes = _classes(material)
    under = stretched(tuning, [classes], fingers(tuning, hand), neck)
    held = within(tuning, classes, under)
    down = min((place.fret for place in held), default=hand) // OCTAVE * OCTAVE
    nut = (hand + 1) // OCTAVE * OCTAVE
    if nut_free and (under[0] < nut >= hand or hand == nut + 1):
        open_ = _at_nut(tuning, material, held, hand - nut, nut, number)
        if open_:
            return open_
    held = [Place(place.string, place.fret - down) for place in held]
    if any(place.fret > tuning.frets for place in held):
        raise GrooveError(f"{tuning.title}: the neck is too short for position {number}")
    frets = shown(held, (max(under[0] - down, 0), under[1] - down))
    return _position(tuning, material, max(hand - down, 1), number, held, frets)


def _at_nut(
    tuning: Tuning, material: Material, held: Sequence[Place], hand: int, nut: int, number: int
) -> Position | None:
    """The open position in place of one that begins near the nut; None where too much of it lies
    behind, or open strings make another one of it.

    nut: its fret on the endless neck. hand: how far from there the first finger is, -1 to 1.
    """
    classes = _classes(material)
    reach = fingers(tuning, max(hand, 0))[1]
    under = stretched(tuning, [classes], (0, reach), (0, tuning.frets))
    near = within(tuning, classes, under)
    begins, as_before = (
        next((place.fret for place in places if place.string == tuning.lowest_string), None)
        for places in (near, [Place(place.string, place.fret - nut) for place in held])
    )
    behind = sum(place.fret < nut for place in held)
    on_open = sum(place.fret == nut for place in held)
    lost = len(missing(tuning, classes, near)) > len(missing(tuning, classes, held))
    if behind > on_open or lost or begins != as_before:
        return None
    return _position(tuning, material, 1, number, near, shown(near, under))


def _position(
    tuning: Tuning,
    material: Material,
    hand: int,
    number: int,
    held: Sequence[Place],
    frets: tuple[int, int],
) -> Position:
    dots = tuple(dot_at(tuning, material, place, hand) for place in held)
    steps = tuple(b - a for a, b in pairwise(tuning.open_strings))
    classes = _classes(material)
    return Position(
        title=material.title,
        fret=hand,
        number=number,
        form=GUITAR_FORMS[number - 1] if number and steps == GUITAR_STEPS else "",
        dots=dots,
        missing=tuple(sorted(missing(tuning, classes, held))),
        complete={dot.pitch % OCTAVE for dot in dots} == classes,
        frets=frets,
    )


def dot_at(tuning: Tuning, material: Material, place: Place, hand: int) -> Dot:
    """The dot for a place that sounds one of the material's tones; ValueError for another."""
    pitch = tuning.pitch(place)
    tone = material.tone(pitch)
    if tone is None:
        raise ValueError(f"{place} sounds no tone of {material.title}")
    finger = tuning.finger(place.fret, hand)
    return Dot(place.string, place.fret, pitch, tone.name, tone.degree, tone.role, finger)


def _classes(material: Material) -> set[int]:
    return {tone.pitch_class for tone in material.tones}
