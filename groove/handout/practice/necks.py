"""The tunings of the practice page, and the positions in which each shows the form's key.

The page finds the notes under the hand itself, as groove.instrument.positions does.
"""

from __future__ import annotations

import re
from typing import Any

from groove.errors import GrooveError
from groove.form.harmony import form_harmony
from groove.form.model import Form
from groove.form.written_chords import chorus_slots
from groove.instrument.fretboard import Tuning, tunings
from groove.instrument.material import Material, scale
from groove.instrument.positions import positions
from groove.lesson.form_scales import form_choices
from groove.lesson.request import STRINGED, Request, instrument_for, tuning_for
from groove.theory.keys import twelve_keys
from groove.theory.pitch import NoteName
from groove.theory.symbols import noted
from groove.wording import words_of

HIGHEST = 12
"""The highest position; a position is the fret of the first finger. Twelve frets up it repeats."""
OWN = "own"
"""The name of a tuning that is written out."""

Json = dict[str, Any]


def necks(form: Form, request: Request) -> Json:
    """The tunings by name, those of guitar first, and the name of the one asked for.

    Of each: its instrument and its words, the open strings (MIDI) and their names, string 1 last,
    the number of frets and those a finger has, and by the number of the key the frets of the five
    positions of the key's pentatonic, the home position first; None where the neck is too short.
    """
    found = _shown(request)
    homes = _home_scales(form)
    return {
        "tunings": {
            name: {
                "instrument": _instrument(name, tuning, request),
                "words": words_of("page")["tunings"].get(name, tuning.title),
                "strings": list(tuning.open_strings),
                "names": [noted(string) for string in tuning.names],
                "frets": tuning.frets,
                "fretsAFinger": tuning.frets_a_finger,
                "five": [_five(tuning, home) for home in homes],
            }
            for name, tuning in found.items()
        },
        "tuning": named_tuning(request)[0],
    }


def named_tuning(request: Request) -> tuple[str, Tuning]:
    """The tuning with which the page opens, and its name; the first where none is asked for."""
    asked, found = tuning_for(request), _shown(request)
    return next((pair for pair in found.items() if pair[1] == asked), next(iter(found.items())))


def _shown(request: Request) -> dict[str, Tuning]:
    """The tunings of the page by their names."""
    asked, found = tuning_for(request), dict(tunings())
    if asked is not None and asked not in found.values():
        found = {OWN: asked} | found
    return found


def _home_scales(form: Form) -> list[Material]:
    """The pentatonic of the form's home position in each key: the first that its guide names for
    the whole form, else that of the key."""
    chords = tuple(dict.fromkeys(slot.chord for slot in chorus_slots(form)))
    up, name = 0, f"{form.key.mode} pentatonic"
    for choice in form_choices(form_harmony(form), chords):
        if choice.scale.endswith("pentatonic") and not choice.over:
            up, name = choice.root.fifths - form.key.tonic.fifths, choice.scale
            break
    return [scale(NoteName(key.tonic.fifths + up), name) for key in twelve_keys(form.key)]


def on_the_neck(position: int) -> int:
    """The same position between 1 and HIGHEST."""
    return (position - 1) % HIGHEST + 1


def _instrument(name: str, tuning: Tuning, request: Request) -> str:
    """The instrument that a tuning is one of: its title names it."""
    if name == OWN:
        return instrument_for(request)
    words = re.findall(r"\w+", tuning.title)
    return next(instrument for instrument in STRINGED if instrument in words)


def _five(tuning: Tuning, home: Material) -> list[int] | None:
    try:
        return [on_the_neck(position.fret) for position in positions(tuning, home)]
    except GrooveError:
        return None
