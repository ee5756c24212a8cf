"""The guides of the practice page: the lesson sheet's words about the chords, in every key.

Students of B♭ and E♭ instruments read other keys than those that sound: there is one guide for
each key that is read by any of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from groove.form.choruses import in_key
from groove.form.lesson_fields import BEGINNER
from groove.form.model import Form
from groove.form.readers import READERS, WRITTEN_FOR
from groove.handout.sheet.sheet import for_hands
from groove.handout.sheet.words import notes_line
from groove.instrument.material import BLUE
from groove.lesson.form_scales import ARPEGGIO, Choice
from groove.lesson.guide import Guide, write_guide
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.motion import tones
from groove.theory.pitch import Degree

SEVERAL = 2
"""Choruses in the guide's form, so that it speaks of the return to the top."""
PLANS = ("guitar", "keyboard", "none")
"""One instrument each with strings, with keys and with neither: their plans differ in words."""

Json = dict[str, Any]


class Scales:
    """The different scales of all guides, each as it lies above the root of a chord.

    rows: steps on the line of fifths from the root, of the notes that may be held and of those to
    pass through, which are the blue notes and those that rub against the chord; then of a blue note
    by its degree, where its name is a simpler one: B, not C flat, for the flat fifth of F.
    """

    def __init__(self) -> None:
        self.rows: list[list[list[int]]] = []
        self._numbers: dict[str, int] = {}

    def number(self, choice: Choice, chord: Chord) -> int:
        """The number of a scale over a chord; it is kept if it is new."""
        avoid = [
            *choice.avoid,
            *(note for over, notes in choice.watch if over == chord for note in notes),
        ]
        blue = None
        if choice.scale in BLUE:
            blue = choice.root + Degree.parse(BLUE[choice.scale])
            avoid.append(blue)
        own = {tone.name.pitch_class for tone in tones(chord)}
        passing = {name.pitch_class for name in avoid} - own
        row: list[list[int]] = [[], []]
        for name in choice.notes:
            row[name.pitch_class in passing].append(name.fifths - chord.root.fifths)
        if blue and blue not in choice.notes and blue.pitch_class in passing:
            row.append([blue.fifths - chord.root.fifths])
        key = repr(row)
        if key not in self._numbers:
            self._numbers[key] = len(self.rows)
            self.rows.append(row)
        return self._numbers[key]


def written_keys(key: Key) -> dict[str, Key]:
    """The key that each reader of the page sees when `key` sounds."""
    return {said: READERS[name].key(key) for said, name in WRITTEN_FOR.items()}


def guides(form: Form, keys: tuple[Key, ...]) -> Json:
    """The guide in each key that is read, by its symbol, and the scales that they number, ready
    for JSON; keys: those that sound."""
    read = {written.symbol: written for key in keys for written in written_keys(key).values()}
    scales = Scales()
    found = {
        symbol: _guide(_going_round(form, key), scales) for symbol, key in sorted(read.items())
    }
    tempo = write_guide(_going_round(form, form.key)).plan.tempo_words
    return {
        "guides": found,
        "scales": scales.rows,
        "tempoWords": list(tempo),
    }


def _going_round(form: Form, key: Key) -> Form:
    return replace(in_key(form, key), choruses=SEVERAL)


def _guide(form: Form, scales: Scales) -> Json:
    """The words of a guide, and for each chord the scales to draw over it.

    whole: the titles of those for the whole form. sets: of a chord, the number of each of these
    over it; own: title and number of those that are its own, the first to play first. A beginner
    has one scale for the whole form, and none that goes beyond the plain sound of a chord.
    """
    guide = write_guide(form)
    begins = form.lesson.learner == BEGINNER
    choices = guide.choices[:1] if begins else guide.choices
    whole = [choice for choice in choices if not choice.over]
    return {
        "about": guide.about,
        "whole": [choice.title for choice in whole],
        "scales": [_scale(choice) for choice in choices],
        "chords": [
            {
                "root": entry.chord.root.fifths,
                "bass": entry.chord.bass.fifths if entry.chord.bass else None,
                "numeral": entry.numeral,
                "words": " ".join(entry.words),
                "scales": [_scale(each) for each in entry.choices if not (begins and each.tag)],
                "sets": [scales.number(choice, entry.chord) for choice in whole],
                "own": [
                    [choice.title, scales.number(choice, entry.chord)]
                    for choice in entry.choices
                    if choice.scale != ARPEGGIO and not begins and not _among(choice, whole)
                ],
            }
            for entry in guide.chords
        ],
        "changes": _changes(guide),
        "plans": {shape: _plan(for_hands(guide, shape)) for shape in PLANS},
        "session": guide.plan.session,
        "ladder": list(guide.plan.ladder),
    }


def _among(choice: Choice, choices: Sequence[Choice]) -> bool:
    return any((choice.root, choice.scale) == (other.root, other.scale) for other in choices)


def _changes(guide: Guide) -> list[list[Any]]:
    """Each change: the numbers of both chords, and the sentences about it."""
    number: dict[Chord, int] = {entry.chord: n for n, entry in enumerate(guide.chords)}
    return [
        [
            number[entry.change.before],
            number[entry.change.after],
            list(entry.sentences),
        ]
        for entry in guide.changes
        if entry.change.after in number
    ]


def _scale(choice: Choice) -> list[str]:
    """Title, notes and words of a scale, and "avoid" if some notes stand in brackets."""
    notes = " ".join(notes_line(choice).split())
    return [choice.title, notes, choice.words, "avoid" if choice.avoid else ""]


def _plan(guide: Guide) -> list[list[Any]]:
    """Title, words, minutes and what to listen for of each step."""
    return [[step.title, step.words, step.minutes, step.listen] for step in guide.plan.steps]
