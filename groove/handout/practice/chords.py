"""The chords, qualities and keys of the practice page as plain lists and numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import Any

from groove.form.chart import Chart
from groove.form.harmony import form_harmony, home_words
from groove.form.model import Form
from groove.form.written_chords import chorus_slots
from groove.handout.practice.guides import written_keys
from groove.handout.practice.road import Written, mark_of
from groove.theory.chords import Chord
from groove.theory.keys import Key
from groove.theory.pitch import NoteName
from groove.theory.quality import Quality
from groove.theory.spelling import respelled
from groove.theory.symbols import key_words, signs, symbol

KEYS = range(-15, 16)
"""The tonics of keys that the page can name, on the line of fifths, C in the middle."""

Json = dict[str, Any]


def harmony_data(written: Form, slots: Iterable[Written]) -> Json:
    """The chords and their qualities; roots are places on the line of fifths.

    A chord: start and length in ticks, root from the tonic, number of its quality, bass note from
    the tonic or None, its number among the different chords, in the order of the form, its mark
    (N.C., * for the root alone, ~ for a push, or empty) and, in a line that is moved, the semitones
    from home to the key of which this is said.
    """
    tonic = written.key.tonic.fifths
    qualities: dict[Quality, int] = {}
    numbers: dict[Chord, int] = {}
    chords = [
        [
            start,
            length,
            chord.root.fifths - tonic,
            qualities.setdefault(chord.quality, len(qualities)),
            chord.bass.fifths - tonic if chord.bass else None,
            numbers.setdefault(chord, len(numbers)),
            mark,
            *([moved] if moved else []),
        ]
        for start, length, chord, mark, moved in slots
    ]
    return {
        "chords": chords,
        "qualities": [_quality(quality) for quality in qualities],
    }


def chords_of_chorus(form: Form) -> Iterator[Written]:
    """The chords of one chorus."""
    for slot in chorus_slots(form):
        yield slot.start, slot.length, slot.chord, mark_of(slot), 0


def _quality(quality: Quality) -> Json:
    shown = symbol(Chord(NoteName.parse("C"), quality))
    return {
        "suffix": shown.triad + shown.figures,
        "tones": [[degree.fifths, signs(str(degree))] for degree in quality.degrees],
    }


def key_names(form: Form, on_road: bool) -> Json:
    """The words for a key on each tonic of KEYS: of the form itself, and of sections of a road that
    are in another key."""
    harmony = form_harmony(form)
    tonics = [NoteName(fifths) for fifths in KEYS]

    def own(tonic: NoteName) -> str:
        return home_words(replace(harmony, key=Key(tonic, harmony.key.mode)))

    names = {"home": [own(tonic) for tonic in tonics]}
    if on_road:
        for mode in ("major", "minor"):
            names[mode] = [key_words(Key(tonic, mode)) for tonic in tonics]
    return names


def written_data(key: Key) -> Json:
    """The key as each reader sees it: its symbol and the place of its tonic."""
    return {
        reader: [written.symbol, written.tonic.fifths]
        for reader, written in written_keys(key).items()
    }


def ending_chords(chart: Chart, key: Key) -> list[list[Any]]:
    """The chords of the ending where home is in a key: [tick from its beginning, symbol]."""
    moved = key.tonic.fifths - chart.form.key.tonic.fifths
    found = []
    for slot in (slot for bar in chart.ending for slot in bar.slots):
        chord = respelled(slot.chord.transposed(moved), key) if moved else slot.chord
        found.append([slot.start - chart.ending[0].start, str(chord)])
    return found
