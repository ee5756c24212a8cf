"""The tracks of a MIDI file become scores at the right frames."""

from __future__ import annotations

import mido
import numpy as np
import pytest

from groove.errors import GrooveError
from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth.scores import first_notes, markers, parts_of, scores, tempo_map
from tests.sound.sound_material import midi_of

SIDE_STICK = 37


def test_every_event_is_at_its_frame() -> None:
    strokes = [(beat * 0.137, 0.1, SIDE_STICK, 100) for beat in range(500)]
    (drums,) = scores(midi_of({9: strokes}, tempos=((0, 612_345),)))
    exact = [round(beat * 0.137 * 480) / 480 * 0.612345 * SAMPLE_RATE for beat in range(500)]
    struck = [e.frame for e in drums.events if e.message.type == "note_on"]
    assert np.abs(np.array(struck) - exact).max() <= 0.5


def test_the_strokes_of_a_score_are_told_from_its_other_notes() -> None:
    midi = midi_of({2: [(0, 1, 69, 90)], 9: [(4, 1, SIDE_STICK, 90), (5, 1, 42, 80)]})
    midi.tracks[1].name, midi.tracks[2].name = "tuning note", "click"
    (click,) = scores(midi)
    struck, others = click.struck_and_others
    assert (struck.notes, others.notes, click.strikes, others.strikes) == (2, 1, True, False)
    assert sorted(event.frame for event in (*struck.events, *others.events)) == sorted(
        event.frame for event in click.events
    )


def test_a_tick_has_the_time_that_mido_gives_it() -> None:
    """mido.MidiFile.length, whose times the file's own tempo events make."""
    strokes = [(beat, 1, SIDE_STICK, 100) for beat in range(12)]
    midi = midi_of({9: strokes}, tempos=((0, 500_000), (4, 751_234), (8.25, 333_333)))
    assert tempo_map(midi).seconds(12 * 480) == pytest.approx(midi.length)


def test_each_track_is_a_stem_of_its_name(short_take: mido.MidiFile) -> None:
    assert parts_of(short_take) == ("drums", "bass", "comping")


def test_the_tuning_note_is_heard_in_the_click_s_stem() -> None:
    midi = midi_of({2: [(0, 1, 69, 90)], 9: [(4, 1, SIDE_STICK, 90)]})
    midi.tracks[1].name, midi.tracks[2].name = "tuning note", "click"
    (click,) = scores(midi)
    assert (click.name, click.notes) == ("click", 2)


def test_a_track_without_notes_is_no_stem(short_take: mido.MidiFile) -> None:
    short_take.add_track("empty").append(mido.Message("program_change", program=3))
    assert "empty" not in parts_of(short_take)


def test_music_without_notes_is_an_error() -> None:
    with pytest.raises(GrooveError, match="nothing to play"):
        scores(midi_of({}))


def test_markers_stand_at_their_frames() -> None:
    midi = midi_of({9: [(0, 1, SIDE_STICK, 90)]}, tempos=((0, 500_000), (4, 1_000_000)))
    for beat, name in ((0, "Count-in"), (6, "Chorus 1")):
        midi.add_track().append(mido.MetaMessage("marker", text=name, time=480 * beat))
    assert markers(midi) == ((0, "Count-in"), (4 * SAMPLE_RATE, "Chorus 1"))


def test_the_first_note_of_every_program_is_found() -> None:
    midi = midi_of({0: [(0, 1, 60, 90), (2, 1, 62, 90)], 1: [(0, 1, 40, 90)]}, {0: 4})
    midi.tracks[1].insert(3, mido.Message("program_change", channel=0, program=16))
    found = [note for score in scores(midi) for note in first_notes(score.events)]
    assert found == [(0, 16, 62), (0, 4, 60), (1, 0, 40)]
