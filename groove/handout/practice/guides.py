"""The guides of the practice page: the lesson sheet's words about the chords, in every key.

Students of B♭ and E♭ instruments read other keys than those that sound: there is one guide for
each key that is read by any of them.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from groove.form.choruses import in_key
from groove.form.model import Form
from groove.form.readers import READERS, WRITTEN_FOR
from groove.handout.sheet.sheet import for_hands
from groove.handout.sheet.words import notes_line
from groove.lesson.form_scales import Choice
from groove.lesson.guide import Guide, write_guide
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.symbols import signs

SEVERAL = 2
"""Choruses in the guide's form, so that it speaks of the return to the top."""
PLANS = ("guitar", "keyboard", "none")
"""One instrument each with strings, with keys and with neither: their plans differ in words."""

Json = dict[str, Any]


def written_keys(key: Key) -> dict[str, Key]:
    """The key that each reader of the page sees when `key` sounds."""
    return {said: READERS[name].key(key) for said, name in WRITTEN_FOR.items()}


def guides(form: Form, keys: tuple[Key, ...]) -> Json:
    """The guide in each key that is read, by its symbol, ready for JSON; keys: those that sound."""
    read = {written.symbol: written for key in keys for written in written_keys(key).values()}
    return {symbol: _guide(_going_round(form, key)) for symbol, key in sorted(read.items())}


def _going_round(form: Form, key: Key) -> Form:
    return replace(in_key(form, key), choruses=SEVERAL)


def _guide(form: Form) -> Json:
    guide = write_guide(form)
    return {
        "about": signs(guide.about),
        "scales": [_scale(choice) for choice in guide.choices],
        "chords": [
            {
                "root": entry.chord.root.fifths,
                "bass": entry.chord.bass.fifths if entry.chord.bass else None,
                "numeral": signs(entry.numeral),
                "words": signs(" ".join(entry.words)),
                "scales": [_scale(choice) for choice in entry.choices],
            }
            for entry in guide.chords
        ],
        "changes": _changes(guide),
        "plans": {shape: _plan(for_hands(guide, shape)) for shape in PLANS},
        "session": guide.plan.session,
        "ladder": list(guide.plan.ladder),
    }


def _changes(guide: Guide) -> list[list[Any]]:
    """Each change: the numbers of both chords, and the sentences about it."""
    number: dict[Chord, int] = {entry.chord: n for n, entry in enumerate(guide.chords)}
    return [
        [
            number[entry.change.before],
            number[entry.change.after],
            [signs(sentence) for sentence in entry.sentences],
        ]
        for entry in guide.changes
        if entry.change.after in number
    ]


def _scale(choice: Choice) -> list[str]:
    """Title, notes and words of a scale, and "avoid" if some notes stand in brackets."""
    notes = " ".join(notes_line(choice).split())
    return [signs(choice.title), notes, signs(choice.words), "avoid" if choice.avoid else ""]


def _plan(guide: Guide) -> list[list[Any]]:
    """Title, words, minutes and what to listen for of each step."""
    return [
        [signs(step.title), signs(step.words), step.minutes, signs(step.listen)]
        for step in guide.plan.steps
    ]
