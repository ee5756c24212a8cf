"""The bass line on paper is the one of the take."""

from __future__ import annotations

import pytest

import groove
from groove.instrument.fretboard import read_tuning
from groove.lesson.line import NoteLine
from groove.lesson.track_lines.bass_line import bass_line

BASS = read_tuning("bass")
FORMS = ["twelve-bar", "rhythm-changes", "minor-vamp", "one-chord-vamp"]


def made(name: str, tuning: str | None = "bass", **more: object) -> NoteLine:
    form = groove.read_form(name, **more)
    return bass_line(form, read_tuning(tuning) if tuning else None)


@pytest.mark.parametrize("name", FORMS)
def test_notes_are_those_of_the_take_in_its_first_chorus(name: str) -> None:
    form = groove.read_form(name)
    take = groove.compile_take(form, straight_notes=True)
    first = take.chart.rounds[0]
    bass = next(part for part in take.parts if part.name == "bass")
    heard = {
        (note.start - first.start, note.pitch)
        for note in bass.notes
        if first.start <= note.start < first.end
    }
    written = {(note.start, note.pitch) for note in bass_line(form, BASS).notes}
    assert written <= heard
    assert len(written) >= 0.7 * len(heard)


@pytest.mark.parametrize("name", FORMS)
def test_every_place_sounds_its_note_and_has_its_name(name: str) -> None:
    for note in made(name).notes:
        assert note.place
        assert BASS.pitch(note.place) == note.pitch
        assert note.name.pitch_class == note.pitch % 12


def test_five_strings_keep_the_places_and_others_get_theirs() -> None:
    four, five = made("twelve-bar"), made("twelve-bar", "bass-5")
    assert [n.place for n in four.notes] == [n.place for n in five.notes]
    other = read_tuning("D1 A1 D2 G2")
    for note in made("twelve-bar", "D1 A1 D2 G2").notes:
        assert note.place
        assert other.pitch(note.place) == note.pitch


def test_notes_follow_one_another() -> None:
    line = made("rhythm-changes")
    for one, after in zip(line.notes, line.notes[1:], strict=False):
        assert one.end <= after.start
