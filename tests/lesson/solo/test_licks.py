"""Licks: one for each position, each with a technique and a rhythm of its own."""

from __future__ import annotations

import pytest

from groove.form.read import read_form
from groove.instrument.fretboard import read_tuning
from groove.instrument.material import scale
from groove.instrument.positions import positions
from groove.lesson.solo.make import licks
from groove.lesson.solo.shapes import melody
from groove.theory.pitch import NoteName
from groove.theory.scales import scale_notes
from tests.lesson.solo.solo_material import lick_breaches

GUITAR = read_tuning("guitar")
LEARNERS = ("beginner", "intermediate", "advanced")


@pytest.mark.parametrize("learner", LEARNERS)
@pytest.mark.parametrize(
    ("name", "key", "drums", "pentatonic"),
    [
        ("twelve-bar", "A", "shuffle", "minor pentatonic"),
        ("i-v-vi-iv", "G", "eighths-rock", "major pentatonic"),
        ("minor-vamp", "Dm", "bossa", "minor pentatonic"),
    ],
)
def test_each_position_has_a_lick_that_lies_in_it(
    name: str, key: str, drums: str, pentatonic: str, learner: str
) -> None:
    form = read_form(name, key=key, drums=drums, learner=learner)
    boxes = positions(GUITAR, scale(NoteName.parse(key.rstrip("m")), pentatonic))
    found = licks(form, GUITAR)
    assert [line.position for line in found] == [box.fret for box in boxes]
    for line, box in zip(found, boxes, strict=True):
        assert list(lick_breaches(form, GUITAR, line)) == []
        assert all(n.place and box.lowest <= n.place.fret <= box.highest for n in line.notes)
        last = melody(line)[-1]
        chord = line.chord_at(last.start)
        assert chord
        assert int(last.sounding) % 12 in {name.pitch_class for name in chord.notes}
        assert any(n.joined or n.bend for n in line.notes) or len(line.notes) > len(melody(line))


@pytest.mark.parametrize("learner", LEARNERS)
def test_no_two_licks_have_the_same_rhythm(learner: str) -> None:
    found = licks(read_form("twelve-bar", key="A", learner=learner), GUITAR)
    assert len({tuple(n.start for n in line.notes) for line in found}) == 5


def test_without_a_neck_a_lick_names_no_fret() -> None:
    for line in licks(read_form("twelve-bar", key="A"), None):
        assert "fret" not in line.name
        assert line.position == 0


@pytest.mark.parametrize("learner", ["intermediate", "advanced"])
@pytest.mark.parametrize("name", ["twelve-bar", "minor-twelve-bar", "jazz-twelve-bar"])
def test_a_lick_is_named_after_a_scale_that_has_its_notes(name: str, learner: str) -> None:
    for line in licks(read_form(name, learner=learner), read_tuning("guitar")):
        scale = line.name.split(",")[0].replace("♭", "b").replace("♯", "#")
        tonic, kind = scale.split(" ", 1)
        inside = {note.pitch_class for note in scale_notes(NoteName.parse(tonic), kind)}
        notes = {note.pitch % 12 for note in line.notes}
        third = (NoteName.parse(tonic).pitch_class + 3) % 12
        assert notes <= inside or {third, third + 1} <= notes  # both thirds: no scale of a name
