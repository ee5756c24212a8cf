"""The places of some pitch classes that a hand reaches, and the notes that it misses.

It takes in whole frets: every place between the first and the last of them, on each string.
"""

from __future__ import annotations

from collections.abc import Sequence

from groove.instrument.fretboard import OCTAVE, Place, Tuning

FEWEST_FRETS = 4  # in a diagram


def fingers(tuning: Tuning, hand: int) -> tuple[int, int]:
    """The first and last fret under the fingers of a hand that does not stretch."""
    return hand, hand + tuning.reach - 1


def stretched(
    tuning: Tuning,
    materials: Sequence[set[int]],
    hand: tuple[int, int],
    neck: tuple[int, int],
) -> tuple[int, int]:
    """The first and last fret that a hand takes in to play some materials, as pitch classes.

    hand: the first and last fret under its fingers; neck: of all that it may reach. Of no
    stretch, one up and one back it takes the one in which the fewest notes are missing, then the
    one with the fewest played.
    """
    low, high = hand
    reached = [(low, high + 1), (low - 1, high)]
    on_neck = [hand, *(f for f in reached if neck[0] <= f[0] and f[1] <= neck[1])]

    wanted = [missing(tuning, notes, within(tuning, notes, hand)) for notes in materials]

    def trouble(frets: tuple[int, int]) -> tuple[int, int]:
        held = [within(tuning, notes, frets) for notes in materials]
        pairs = zip(wanted, held, strict=True)
        lost = sum(len(notes - sounding(tuning, places)) for notes, places in pairs)
        return lost, sum(map(len, held))

    return min(on_neck, key=trouble)


def within(tuning: Tuning, classes: set[int], frets: tuple[int, int]) -> list[Place]:
    """Every place of some pitch classes between two frets, string by string upwards."""
    return [
        Place(string, fret)
        for string in tuning.strings
        for fret in range(frets[0], frets[1] + 1)
        if (tuning.open(string) + fret) % OCTAVE in classes
    ]


def sounding(tuning: Tuning, held: Sequence[Place]) -> set[int]:
    """The MIDI notes of some places."""
    return {tuning.pitch(place) for place in held}


def missing(tuning: Tuning, classes: set[int], held: Sequence[Place]) -> set[int]:
    """The notes of some pitch classes between the lowest and the highest held that are not."""
    heard = sounding(tuning, held)
    between = range(min(heard, default=0), max(heard, default=0))
    return {pitch for pitch in between if pitch % OCTAVE in classes} - heard


def shown(held: Sequence[Place], under: tuple[int, int]) -> tuple[int, int]:
    """The frets of a diagram: those played, and of the others under the hand up to four."""
    played = [place.fret for place in held] or list(under)
    last = min(max(*played, min(played) + FEWEST_FRETS - 1), under[1])
    return max(min(*played, last - FEWEST_FRETS + 1), under[0]), last
