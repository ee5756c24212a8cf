"""Voicings for both hands of a pianist: the root and the seventh below, what colours it above.

The left hand has the root with the seventh, of a chord without one with the fifth, of a slash
chord the written bass alone. The right hand has the third and two or three tones more, close
around middle C, and moves as little as can be from chord to chord (common practice). Thirds,
ninths and thirteenths are chosen as the band's keyboards choose theirs.

>>> from groove.theory.chords import parse_chord
>>> from groove.theory.keys import Key
>>> for hands in two_hands([parse_chord(c) for c in ("Dm7", "G7", "Cmaj7")], Key.parse("C")):
...     print(hands)
D3 1, C4 b7 | E4 9, F4 b3, A4 5
G2 1, F3 b7 | B3 3, E4 13, A4 9
C3 1, B3 7 | D4 9, E4 3, G4 5
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from groove.band.comping.voicing import Voicing, movement, voicing_degrees
from groove.band.keys.keys_voicings import TENTH, keys_can_play
from groove.instrument.keyboard import KeyboardKey
from groove.instrument.left_hand import takes_colour, voiced_key
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import Degree

LOWEST_ROOT = 40  # E2: roots lie in the octave from there
LOW, HIGH = 55, 79  # G3 and G5, between which the right hand lies
MIDDLE, PULL = 65, 0.06  # F4; semitones of movement that a semitone off it is worth
ROOT, FIFTH_NUMBER, SEVENTH_NUMBER = Degree(1), 5, 7
MOST = 3  # notes of the right hand over two of the left
OVER_BASS = 4  # over a written bass


@dataclass(frozen=True, slots=True)
class TwoHands:
    """The keys of both hands for a chord, each hand from the lowest up."""

    chord: Chord
    left: tuple[KeyboardKey, ...]
    right: tuple[KeyboardKey, ...]

    def __str__(self) -> str:
        hands = (self.left, self.right)
        return " | ".join(
            ", ".join(f"{key.full_name} {key.degree}" for key in hand) for hand in hands
        )


def two_hands(chords: Sequence[Chord], key: Key) -> tuple[TwoHands, ...]:
    """A voicing for both hands of each of some chords, each near the one before.

    key: in which they stand, for the ninths and thirteenths that they take.
    """
    found = []
    before: Voicing | None = None
    for number, chord in enumerate(chords):
        after = chords[(number + 1) % len(chords)]
        left, held = _left(chord)
        wanted = _right_degrees(chord, held, coloured=takes_colour(chord, key, after))
        before = _right(chord, wanted, left[-1], before)
        found.append(
            TwoHands(
                chord,
                tuple(voiced_key(chord, pitch) for pitch in left),
                tuple(voiced_key(chord, pitch) for pitch in before.pitches),
            )
        )
    return tuple(found)


def _left(chord: Chord) -> tuple[list[int], set[Degree]]:
    """The pitches of the left hand and the degrees that the right hand need not have."""
    low = LOWEST_ROOT + (chord.lowest.pitch_class - LOWEST_ROOT) % 12
    if chord.bass is not None:
        return [low], set()
    quality = chord.quality
    seventh = next((d for d in quality.degrees if d.number == SEVENTH_NUMBER), None)
    if seventh:
        return [low, low + seventh.semitones], {ROOT, seventh}
    fifth = next((d for d in quality.degrees if d.number == FIFTH_NUMBER), None)
    return [low, *([low + fifth.semitones] if fifth else [])], set()


def _right_degrees(chord: Chord, held: set[Degree], *, coloured: bool) -> list[Degree]:
    """The degrees of the right hand by their weight, those that the left has only where there are
    too few others."""
    orders = voicing_degrees(chord.quality, coloured)
    order = orders[-1] if coloured and chord.quality.is_dominant else orders[0]
    free = [degree for degree in order if degree not in held]
    most = OVER_BASS if chord.bass is not None else MOST
    spare = [degree for degree in order if degree == ROOT and degree not in free]
    return [*free, *spare][:most]


def _right(chord: Chord, wanted: Sequence[Degree], over: int, before: Voicing | None) -> Voicing:
    """The nearest close position of some degrees that lies over the left hand."""
    tones = {(chord.root + degree).pitch_class for degree in wanted}
    found: list[Voicing] = []
    for lowest in range(max(LOW, over + 1), HIGH + 1):
        if lowest % 12 in tones:
            close = sorted(lowest + (tone - lowest) % 12 for tone in tones)
            if close[-1] <= HIGH and close[-1] - close[0] <= TENTH:
                found.append(Voicing(tuple(close)))
    playable = [voicing for voicing in found if keys_can_play(list(voicing.pitches))]

    def cost(voicing: Voicing) -> float:
        middle = sum(voicing.pitches) / len(voicing.pitches)
        moved = movement(before, voicing) if before else 0.0
        return moved + PULL * abs(middle - MIDDLE)

    return min(playable or found, key=cost)
