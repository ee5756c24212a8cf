"""The pitches of a line: in the key, in position, and alive."""

from __future__ import annotations

from itertools import groupby, pairwise
from random import Random

import pytest

from groove import library
from groove.band.bass.bass_pitches import line_pitches
from groove.band.bass.line_note import BassNote
from groove.band.changes import Changes
from groove.band.degrees import approach, degree_in_key, key_tones
from groove.form.read import read_form
from groove.rhythm.patterns import bass_pattern, drum_pattern
from groove.theory.chords import parse_chord
from groove.theory.keys import Key
from tests.band.band_material import Played

C, A_MINOR = Key.parse("C"), Key.parse("Am")
WITH_SIXTHS = [
    name
    for name in library.names("bass")
    if any(s.mark == "6" for cell in bass_pattern(name).cells for s in cell.strokes)
]
RUNS = [name for name in library.names("bass") if str(bass_pattern(name).grid.meter) == "4/4"]


@pytest.mark.parametrize(
    ("symbol", "number", "key", "found"),
    [
        ("Em7", 6, C, 7),  # no C sharp, the flat seventh in its place
        ("Am", 6, C, 7),
        ("Dm7", 6, C, 6),  # B: the key has it
        ("Em6", 6, C, 6),  # named by the chord
        ("C7", 6, C, 6), ("F7", 6, C, 6), ("G7", 6, C, 6),
        ("E7", 6, C, 7),
        ("E", 7, C, 1),  # a triad's seventh would be the sixth
        ("Em", 9, C, 5), ("Am7", 9, C, 9),
        ("E7", 6, A_MINOR, 7), ("D7", 6, A_MINOR, 6), ("Bm7b5", 5, A_MINOR, 5),
    ],
)  # fmt: skip
def test_a_sixth_or_ninth_that_the_chord_does_not_name_belongs_to_the_key(
    symbol: str, number: int, key: Key, found: int
) -> None:
    assert degree_in_key(parse_chord(symbol), number, key) == found


def lines(name: str, form: str, **fields: object) -> Played:
    drums = next(
        drum_pattern(d)
        for d in library.names("drums")
        if drum_pattern(d).grid.meter == bass_pattern(name).grid.meter
        and bass_pattern(name).grid.takes(drum_pattern(d).grid.feel)
    )
    given = {"drums": drums.name, "feel": drums.grid.feel, "meter": str(drums.grid.meter)}
    return Played(read_form(form, **given, bass=name, **fields))


@pytest.mark.parametrize("name", WITH_SIXTHS)
def test_no_sixth_over_the_minor_chords_of_a_major_key_is_outside_it(name: str) -> None:
    band = lines(name, "i-v-vi-iv", key="C", chords="I iii7 vi ii7", choruses=6, seed=5)
    changes, tones = Changes(band.plan.bass_chart), key_tones(C)
    for note in band.bass.notes:
        slot = changes.slot_at(note.start)
        if slot.chord.quality.is_minor and slot.end - note.start > band.beat:
            sixth = (slot.chord.root.pitch_class + 9) % 12
            assert note.pitch % 12 != sixth or sixth in tones


@pytest.mark.parametrize("name", RUNS)
def test_one_pitch_runs_twelve_times_at_most(name: str) -> None:
    pitches = [note.pitch for note in lines(name, "one-chord-vamp", choruses=3).bass.notes]
    assert max(len(list(same)) for _, same in groupby(pitches)) <= 12


@pytest.mark.parametrize("form", ["twelve-bar", "i-vi-iv-v", "rhythm-changes"])
def test_no_note_jumps_an_octave_where_no_octave_is_written(form: str) -> None:
    for key in ("C", "Eb", "G", "A"):
        pitches = [note.pitch for note in lines("root-fifth", form, key=key).bass.notes]
        assert all(abs(b - a) != 12 for a, b in pairwise(pitches)), key


def test_the_one_is_free_in_half_of_the_bars_of_one_drop() -> None:
    for form in ("twelve-bar", "i-v-vi-iv", "minor-vamp"):
        band = Played(read_form(form, drums="one-drop", feel="straight", choruses=4))
        struck = {note.start for note in band.bass.notes}
        free = [bar.start not in struck for bar in band.in_form]
        assert sum(free) >= len(free) / 2, form


def test_no_leap_is_wider_than_an_octave_where_roots_lie_far_apart() -> None:
    for name in ("soul", "sixteenth-funk", "second-line"):
        band = lines(name, "i-v-vi-iv", chords="I bVI II7 bIII6", choruses=4)
        pitches = [note.pitch for note in band.bass.notes]
        assert max(abs(b - a) for a, b in pairwise(pitches)) <= 12, name


def test_a_low_open_string_is_reached_from_the_key_where_no_step_is_left() -> None:
    """From F to the low E in C: no F sharp, a third above in its place."""
    found = approach(28, 29, (-2, -1, 1, 2), parse_chord("F"), key_tones(C), Random(1))
    assert found % 12 in key_tones(C)
    assert found not in (28, 29)


def test_a_long_note_of_a_waltz_is_a_tone_of_its_chord() -> None:
    for form in ("twelve-bar", "i-v-vi-iv", "minor-twelve-bar"):
        band = lines("waltz-walk", form, choruses=4)
        changes = Changes(band.plan.bass_chart)
        for note in band.bass.notes:
            if note.length > band.beat:
                chord = changes.slot_at(note.start).chord
                assert note.pitch % 12 in {tone.pitch_class for tone in chord.notes}, form


def test_a_fifth_to_come_belongs_to_the_root_and_not_to_the_approach_before_it() -> None:
    band = lines("root-fifth", "i-v-vi-iv", key="C", choruses=1)
    start, beat = band.chart.start, band.beat
    changes = Changes(band.plan.bass_chart)
    marks = ("1", "1", "v", "a", "1")  # over C, into G
    events = [BassNote(start + n * beat, beat, mark) for n, mark in enumerate(marks)]
    found = line_pitches(events, changes, band.plan.bass_chart, (28, 43), Random(1))
    assert found[2] % 12 == 2  # D
    assert 1 <= abs(found[4] - found[3]) <= 2
