"""Key and tempo of each chorus: the cycle of keys and the ladder of tempi.

The key cycle round the fourths or fifths, and up or down by semitones, is how improvisers
practise in all keys (common practice).
"""

from __future__ import annotations

from dataclasses import replace
from math import ceil
from typing import Any

from groove import library
from groove.form import style
from groove.form.model import FASTEST, SLOWEST, Form
from groove.rhythm.meter import Meter, ticks_to_seconds
from groove.theory.keys import Key
from groove.theory.pitch import NoteName

# Fifths up from each key to the next; its sign says whether Gb or F# comes.
FIFTHS_UP = {"none": 0, "fourths": -1, "fifths": 1, "up": 7, "down": -7}
ROUND = 12  # keys on the circle


def in_chorus(form: Form, chorus: int) -> Form:
    """The form as it is in a chorus, counted from 0: in its key and at its tempo."""
    return at(form, _key(form, chorus), _tempo(form, chorus))


def in_key(form: Form, key: Key) -> Form:
    """The form moved to another key."""
    if key == form.key:
        return form
    return replace(form, key=key)


def at(form: Form, key: Key, tempo: float) -> Form:
    """The form in a key and at a tempo, swung as that tempo asks."""
    moved = in_key(form, key)
    if tempo == form.tempo:
        return moved
    ratio = form.swing_ratio
    if form.swing_follows_tempo:
        ratio = style.swing_ratio(form.feel, style.swing_tempo(form.drums, tempo))
    return replace(moved, tempo=tempo, swing_ratio=ratio)


def moved_key(key: Key, moved: int) -> Key:
    """The key so many steps on the line of fifths away, with at most six sharps or flats; itself
    as it was given where they lead back to it.

    Of F# and Gb the one that the way leads to; six sharps in minor are never written (common
    practice).
    """
    if moved % ROUND == 0:
        return key
    flattest = -6 if moved < 0 or key.mode == "minor" else -5
    signature = (key.signature + moved - flattest) % ROUND + flattest
    return Key(NoteName(key.tonic.fifths + signature - key.signature), key.mode)


def _key(form: Form, chorus: int) -> Key:
    return moved_key(form.key, FIFTHS_UP[form.key_cycle] * chorus)


def _tempo(form: Form, chorus: int) -> float:
    return round(form.tempo + form.tempo_step * chorus, 6) if form.tempo_step else form.tempo


def tuning() -> dict[str, Any]:
    """The figures of the tuning note: ``patterns/touch/tuning-note.toml``."""
    return library.load("touch", "tuning-note")


def tuning_bars(form: Form, meter: Meter, tempo: float) -> int:
    """Bars before the count-in that the tuning note and the silence after it take."""
    if not form.tuning_note:
        return 0
    figures = tuning()
    seconds = 2 * figures["note_seconds"] + figures["silence_seconds"]
    return ceil(float(seconds) / ticks_to_seconds(meter.bar_ticks, tempo, meter) - 1e-9)


def check(form: Form) -> None:
    """Raise StyleError where a chorus gets too fast or slow, or a loop could not close."""
    for field, changes in (
        ("tempo_step", form.tempo_step != 0), ("key_cycle", form.key_cycle != "none"),
    ):  # fmt: skip
        if changes and form.ending == "loop":
            raise style.StyleError(
                field,
                "a loop ends as it began, so no chorus can differ; the ending must be hit or ring",
            )
    for chorus in range(form.choruses):
        tempo = _tempo(form, chorus)
        if not SLOWEST <= tempo <= FASTEST:
            raise style.StyleError(
                "tempo_step",
                f"{form.tempo_step:g} from {form.tempo:g} takes chorus {chorus + 1} to {tempo:g} "
                f"beats a minute; {SLOWEST} to {FASTEST} are allowed",
            )
