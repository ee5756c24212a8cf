"""Where the arpeggios of the practice page lie under the hand, as the lesson sheet has them."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from groove.instrument.fretboard import Tuning, read_tuning
from groove.instrument.material import arpeggio
from groove.instrument.positions import at_fret
from groove.lesson.request import Request, instrument_for, tuning_for
from groove.theory.chords import Chord
from groove.theory.pitch import NoteName, spelled
from groove.theory.quality import Quality

NECKS = ("guitar", "bass")
HIGHEST = 12
"""The position, the fret of the first finger, beyond which the neck begins again."""

C = NoteName(0)
"""Roots are spelled near it; how makes no difference to where they lie."""

Json = dict[str, Any]


def necks(qualities: Iterable[Quality], request: Request) -> Json:
    """For each instrument its strings, its reach in frets, and the hands.

    Guitar and bass, and another that is asked for; that one in the tuning that is asked for.

    hands: by the number of the quality, the pitch class of the root and the position less one, a
    row of three numbers a note: string (1 is the highest), fret, number of the tone.
    """
    chosen = tuple(qualities)
    found = {name: _neck(read_tuning(name), chosen) for name in NECKS}
    asked = tuning_for(request)
    if asked is not None:
        found[instrument_for(request)] = _neck(asked, chosen)
    return found


def _neck(tuning: Tuning, qualities: tuple[Quality, ...]) -> Json:
    return {
        "strings": len(tuning.open_strings),
        "reach": tuning.reach,
        "hands": [
            [
                [
                    _hand(tuning, Chord(spelled(pitch, C), quality), fret)
                    for fret in range(1, HIGHEST + 1)
                ]
                for pitch in range(12)
            ]
            for quality in qualities
        ],
    }


def _hand(tuning: Tuning, chord: Chord, fret: int) -> list[int]:
    degrees = [str(degree) for degree in chord.quality.degrees]
    row: list[int] = []
    for dot in at_fret(tuning, arpeggio(chord), fret).dots:
        row += (dot.string, dot.fret, degrees.index(dot.degree))
    return row
