"""Key and tempo of each chorus: the cycle of keys and the ladder of tempi.

The key cycle round the fourths or fifths, and up or down by semitones, is how improvisers
practise in all keys (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil
from typing import Any

from groove import library
from groove.form import style
from groove.form.model import FASTEST, SLOWEST, Form
from groove.rhythm.meter import ticks_to_seconds
from groove.theory.keys import Key
from groove.theory.pitch import NoteName

# Fifths up from each key to the next; its sign says whether Gb or F# comes.
FIFTHS_UP = {"none": 0, "fourths": -1, "fifths": 1, "up": 7, "down": -7}
ROUND = 12  # keys on the circle


@dataclass(frozen=True, slots=True)
class Chorus:
    """One time round the form: start and end in ticks, key, tempo and swing ratio."""

    start: int
    end: int
    key: Key
    tempo: float
    swing_ratio: float


def in_chorus(form: Form, chorus: int) -> Form:
    """The form as it is in a chorus, counted from 0: in its key and at its tempo."""
    return at(form, _key(form, chorus), _tempo(form, chorus))


def in_key(form: Form, key: Key) -> Form:
    """The form moved to another key."""
    if key == form.key:
        return form
    return replace(form, key=key, fifths=form.fifths + key.tonic.fifths - form.key.tonic.fifths)


def at(form: Form, key: Key, tempo: float) -> Form:
    """The form in a key and at a tempo, swung as that tempo asks."""
    moved = in_key(form, key)
    if tempo == form.tempo:
        return moved
    ratio = form.swing_ratio
    if form.swing_follows_tempo:
        ratio = style.swing_ratio(form.feel, style.swing_tempo(form.drums, tempo))
    return replace(moved, tempo=tempo, swing_ratio=ratio)


def _key(form: Form, chorus: int) -> Key:
    """The key of a chorus, with at most six sharps or flats; the form's own as it was given.

    Of F# and Gb the one that the way leads to; six sharps in minor are never written (common
    practice).
    """
    moved = FIFTHS_UP[form.key_cycle] * chorus
    if moved % ROUND == 0:
        return form.key
    flattest = -6 if moved < 0 or form.key.mode == "minor" else -5
    signature = (form.key.signature + moved - flattest) % ROUND + flattest
    shift = signature - form.key.signature
    return Key(NoteName(form.key.tonic.fifths + shift), form.key.mode)


def _tempo(form: Form, chorus: int) -> float:
    return round(form.tempo + form.tempo_step * chorus, 6) if form.tempo_step else form.tempo


def tuning() -> dict[str, Any]:
    """The figures of the tuning note: ``patterns/touch/tuning-note.toml``."""
    return library.load("touch", "tuning-note")


def tuning_bars(form: Form) -> int:
    """Bars before the count-in that the tuning note and the silence after it take."""
    if not form.tuning_note:
        return 0
    figures = tuning()
    seconds = 2 * figures["note_seconds"] + figures["silence_seconds"]
    return ceil(float(seconds) / _seconds(form, 1) - 1e-9)


def _seconds(form: Form, bars: int) -> float:
    return ticks_to_seconds(bars * form.meter.bar_ticks, form.tempo, form.meter)


def length(form: Form) -> float:
    """Seconds of the whole track, the ending's bar included; a loop has none."""
    choruses = [in_chorus(form, chorus) for chorus in range(form.choruses)]
    before = _seconds(form, tuning_bars(form) + form.count_in)
    ending = 0 if form.ending == "loop" else _seconds(choruses[-1], 1)
    return before + sum(_seconds(c, form.bars) for c in choruses) + ending


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
