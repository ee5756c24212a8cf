"""Lines of guide tones as notes: thirds and sevenths that move little."""

from __future__ import annotations

from itertools import pairwise

import pytest

import groove
from groove.instrument.fretboard import read_tuning
from groove.lesson.track_lines.guide_tones import guide_tone_line

GUITAR = read_tuning("guitar")


@pytest.mark.parametrize("name", ["twelve-bar", "rhythm-changes", "minor-twelve-bar"])
@pytest.mark.parametrize("clef", ["treble", "bass"])
def test_each_chord_has_tones_of_its_own(name: str, clef: str) -> None:
    line, degrees = guide_tone_line(groove.read_form(name), None, clef)
    for note in line.notes:
        chord = line.chord_at(note.start)
        assert chord
        assert note.name.pitch_class in {tone.pitch_class for tone in chord.notes}
        assert note.name.pitch_class == note.pitch % 12
    assert sum(map(len, degrees.values())) == len(line.notes)


def test_lines_stay_near_the_middle_of_their_clef() -> None:
    form = groove.read_form("rhythm-changes")
    for clef, low, high in (("treble", 58, 82), ("bass", 40, 64)):
        pitches = [note.pitch for note in guide_tone_line(form, None, clef)[0].notes]
        assert low <= min(pitches)
        assert max(pitches) <= high


def test_notes_last_as_long_as_their_chord() -> None:
    line, _ = guide_tone_line(groove.read_form("twelve-bar"), None)
    starts = sorted({note.start for note in line.notes})
    for start, after in pairwise(starts):
        assert {note.end for note in line.notes if note.start == start} == {after}


def test_on_a_neck_each_pair_has_its_places() -> None:
    line, _ = guide_tone_line(groove.read_form("twelve-bar"), GUITAR)
    for note in line.notes:
        assert note.place
        assert GUITAR.pitch(note.place) == note.pitch
