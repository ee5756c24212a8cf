"""The fingerings of the practice page: arpeggios under the hand, as on the lesson sheet."""

from __future__ import annotations

from typing import Any

from groove.form.choruses import in_key
from groove.form.model import Form
from groove.form.written_chords import chorus_slots
from groove.instrument.fretboard import Tuning, read_tuning
from groove.instrument.material import arpeggio
from groove.instrument.positions import at_fret, one_position
from groove.lesson.request import Request, instrument_for, tuning_for
from groove.theory.chords import Chord
from groove.theory.keys import twelve_keys
from groove.theory.pitch import NoteName, spelled
from groove.theory.quality import Quality

NECKS = ("guitar", "bass")
HIGHEST = 12
"""The highest position; a position is the fret of the first finger. Twelve frets up it repeats."""

C = NoteName(0)
"""Roots are spelled near it; the spelling doesn't change where they lie."""

Json = dict[str, Any]


def necks(form: Form, qualities: tuple[Quality, ...], request: Request) -> Json:
    """Strings, reach in frets, usual positions and hands of guitar, bass and the instrument asked
    for, in the tuning asked for.

    usual: by the number of the key, the position in which the lesson sheet shows the form. hands:
    by the number of the quality, the pitch class of the root and the position less one, a row of
    three numbers a note: string (1 is the highest), fret, number of the tone.
    """
    tunings = {name: read_tuning(name) for name in NECKS}
    asked = tuning_for(request)
    if asked is not None:
        tunings[instrument_for(request)] = asked
    return {
        name: {
            "strings": len(tuning.open_strings),
            "reach": tuning.reach,
            "usual": _usual(tuning, form),
            "hands": _hands(tuning, qualities),
        }
        for name, tuning in tunings.items()
    }


def on_the_neck(position: int) -> int:
    """The same position between 1 and HIGHEST."""
    return (position - 1) % HIGHEST + 1


def _usual(tuning: Tuning, form: Form) -> list[int]:
    usual = []
    for key in twelve_keys(form.key):
        chords = dict.fromkeys(slot.chord for slot in chorus_slots(in_key(form, key)))
        together = one_position(tuning, [arpeggio(chord) for chord in chords])
        usual.append(on_the_neck(together[0].fret))
    return usual


def _hands(tuning: Tuning, qualities: tuple[Quality, ...]) -> list[list[list[list[int]]]]:
    return [
        [
            [
                _hand(tuning, Chord(spelled(pitch, C), quality), fret)
                for fret in range(1, HIGHEST + 1)
            ]
            for pitch in range(12)
        ]
        for quality in qualities
    ]


def _hand(tuning: Tuning, chord: Chord, fret: int) -> list[int]:
    degrees = [str(degree) for degree in chord.quality.degrees]
    row: list[int] = []
    for dot in at_fret(tuning, arpeggio(chord), fret).dots:
        row += (dot.string, dot.fret, degrees.index(dot.degree))
    return row
