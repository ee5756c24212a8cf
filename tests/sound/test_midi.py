"""The MIDI file says everything that a reader of the score would want, at the right ticks.

Meta events and format: Standard MIDI Files 1.0, RP-001, MIDI Manufacturers Association
(from memory); mido decodes them.
"""

from __future__ import annotations

from itertools import pairwise

import mido
import pytest
from hypothesis import given, settings

import groove
from groove.band.count_in import clicks
from groove.sound.midi import midi_file
from tests.band.band_material import Played, bands, played, some
from tests.examples import examples

Timed = list[tuple[int, mido.Message | mido.MetaMessage]]


def timed(track: mido.MidiTrack) -> Timed:
    """The events of a track with their ticks from its start."""
    now = 0
    found = []
    for message in track:
        now += message.time
        found.append((now, message))
    return found


def conductor(band: Played, kind: str) -> Timed:
    events = timed(midi_file(band.take).tracks[0])
    return [(tick, message) for tick, message in events if message.type == kind]


def played_pattern(drums: str) -> Played:
    return Played(groove.read_form("one-chord-vamp", drums=drums, count_in=2, seed=3, tightness=1))


def channels(track: mido.MidiTrack) -> set[int]:
    return {message.channel for message in track if not message.is_meta}


def test_the_file_has_a_track_for_the_conductor_each_player_and_the_click() -> None:
    midi = midi_file(played().take)
    assert midi.type == 1
    names = [track.name for track in midi.tracks[1:]]
    assert names == ["drums", "bass", "comping", "click"]


def test_without_a_count_in_there_is_no_track_of_clicks() -> None:
    midi = midi_file(played(count_in=0).take)
    assert [track.name for track in midi.tracks[1:]] == ["drums", "bass", "comping"]


def notes_on(track: mido.MidiTrack) -> list[tuple[int, int]]:
    return [(tick, m.note) for tick, m in timed(track) if m.type == "note_on"]


@pytest.mark.parametrize("drums", some("drums"))
def test_the_click_has_the_clicks_of_the_count_in_and_no_other_note(drums: str) -> None:
    band = played_pattern(drums)
    click = midi_file(band.take).tracks[-1]
    assert [tick for tick, _ in notes_on(click)] == [note.start for note in clicks(band.chart)]


@pytest.mark.parametrize("drums", some("drums"))
def test_a_pickup_stays_with_the_drums(drums: str) -> None:
    band = played_pattern(drums)
    tracks = midi_file(band.take).tracks
    drums = [note for tick, note in notes_on(tracks[1]) if tick < band.chart.start]
    clicks = [note for _, note in notes_on(tracks[4])]
    strokes = [note.pitch for note in band.drums.notes if note.start < band.chart.start]
    assert sorted(drums + clicks) == sorted(strokes)


def test_clicks_and_drums_set_their_channel_alike() -> None:
    """They share channel 10, so either track's set-up would undo the other's."""
    _, drums, _, _, click = midi_file(played().take).tracks
    setups = [
        [m.copy(time=0) for m in track if m.type in ("program_change", "control_change")]
        for track in (drums, click)
    ]
    assert setups[0] == setups[1]


def test_the_conductor_plays_nothing() -> None:
    assert all(message.is_meta for message in midi_file(played().take).tracks[0])


def test_the_title_names_the_conductors_track() -> None:
    band = played(title="Überfahrt – 2nd take")
    assert [message.name for _, message in conductor(band, "track_name")] == [band.form.title]


@pytest.mark.parametrize(
    ("drums", "tempo", "quarters"),
    [("eighths-rock", 112, 112), ("waltz", 90, 90), ("slow-blues", 60, 90), ("six-eight", 50, 75)],
)
def test_the_tempo_is_that_of_the_form(drums: str, tempo: int, quarters: int) -> None:
    """A dotted quarter at 60 is a quarter at 90 (common practice)."""
    events = conductor(played(drums=drums, tempo=tempo), "set_tempo")
    assert [tick for tick, _ in events] == [0]
    assert mido.tempo2bpm(events[0][1].tempo) == pytest.approx(quarters, rel=1e-5)


@pytest.mark.parametrize(
    ("drums", "numerator", "denominator", "clocks"),
    [("rumba", 4, 4, 24), ("waltz", 3, 4, 24), ("six-eight", 6, 8, 36), ("slow-blues", 12, 8, 36)],
)
def test_the_time_signature_is_that_of_the_form(
    drums: str, numerator: int, denominator: int, clocks: int
) -> None:
    """The click is the felt beat, 24 MIDI clocks a quarter: RP-001 (from memory)."""
    ((tick, event),) = conductor(played(drums=drums), "time_signature")
    assert tick == 0
    assert (event.numerator, event.denominator, event.clocks_per_click) == (
        numerator, denominator, clocks,
    )  # fmt: skip
    assert event.notated_32nd_notes_per_beat == 8


@pytest.mark.parametrize("key", ["C", "G", "Bb", "F#", "Gb", "Cb", "Am", "Ebm", "C#m"])
def test_the_key_signature_is_that_of_the_form(key: str) -> None:
    ((tick, event),) = conductor(played(key=key), "key_signature")
    assert (tick, event.key) == (0, key)


def a_marker_stands_at_every_chorus(band: Played) -> None:
    markers = [(t, m.text) for t, m in conductor(band, "marker") if m.text.startswith("Chorus")]
    size = band.form.bars * band.bar
    first = band.form.count_in * band.bar
    assert markers == [(first + n * size, f"Chorus {n + 1}") for n in range(band.form.choruses)]


def each_chord_stands_as_text_where_it_begins(band: Played) -> None:
    texts = [(tick, message.text) for tick, message in conductor(band, "text")]
    assert texts == [(slot.start, str(slot.chord)) for slot in band.plan.written.changes]


def test_the_chords_of_a_blues_stand_at_their_bars() -> None:
    """I I I I - IV IV I I - V IV I I (common practice), 960 ticks a quarter, no count-in."""
    band = played(key="A", choruses=1, count_in=0, ending="loop")
    texts = [(tick // 3840 + 1, message.text) for tick, message in conductor(band, "text")]
    assert texts == [(1, "A7"), (5, "D7"), (7, "A7"), (9, "E7"), (10, "D7"), (11, "A7")]


def test_the_count_in_and_the_ending_are_marked() -> None:
    band = played(count_in=2, choruses=1)
    markers = conductor(band, "marker")
    assert [m.text for _, m in markers] == ["Count-in", "Chorus 1", "Ending"]
    assert [t for t, _ in markers] == [0, 2 * band.bar, 14 * band.bar]


def test_the_drums_are_on_channel_ten_and_the_others_are_not() -> None:
    """General MIDI System Level 1, 1991 (from memory); mido counts channels from 0."""
    drums, bass, comping = (channels(track) for track in midi_file(played().take).tracks[1:4])
    assert drums == {9}
    assert len(bass) == len(comping) == 1
    assert bass.isdisjoint(comping | drums)


def test_program_and_mix_are_set_before_the_first_note() -> None:
    for track in midi_file(played().take).tracks[1:]:
        kinds = [message.type for message in track if not message.is_meta]
        assert kinds[:4] == ["program_change", *["control_change"] * 3]
        assert set(kinds[4:]) == {"note_on", "note_off"}


def test_program_and_mix_are_set_as_the_file_begins() -> None:
    for track in midi_file(played(a4=442).take).tracks[1:]:
        kinds = ("program_change", "control_change")
        assert {tick for tick, message in timed(track) if message.type in kinds} == {0}


def test_notes_are_let_go_at_the_middle_speed() -> None:
    """64, which MIDI 1.0 gives for keyboards that don't sense it (from memory)."""
    messages = [m for track in midi_file(played().take).tracks for m in track]
    assert {m.velocity for m in messages if m.type == "note_off"} == {64}


def all_tracks_end_together_with_the_track(band: Played) -> None:
    ends = [timed(track)[-1] for track in midi_file(band.take).tracks]
    assert {tick for tick, _ in ends} == {band.chart.end}
    assert {message.type for _, message in ends} == {"end_of_track"}


def each_note_that_begins_ends_once(band: Played) -> None:
    for track in midi_file(band.take).tracks[1:]:
        down: set[int] = set()
        for message in track:
            if message.type == "note_on":
                assert message.note not in down
                down.add(message.note)
            elif message.type == "note_off":
                down.remove(message.note)
        assert not down


LAWS = (
    a_marker_stands_at_every_chorus,
    each_chord_stands_as_text_where_it_begins,
    all_tracks_end_together_with_the_track,
    each_note_that_begins_ends_once,
)


@settings(max_examples=examples(30))
@given(bands())
def test_each_law_holds_for_any_form(band: Played) -> None:
    for law in LAWS:
        law(band)


def test_a_note_ends_before_the_same_pitch_begins_at_that_tick() -> None:
    band = played(drums="eighths-rock", choruses=4)
    events = timed(midi_file(band.take).tracks[2])
    for (tick, before), (later, after) in pairwise(events):
        if tick == later and {before.type, after.type} == {"note_on", "note_off"}:
            assert before.type == "note_off" or before.note != after.note


def test_controllers_of_a_part_stand_in_its_track() -> None:
    """The sustain pedal, controller 64 (General MIDI System Level 1, from memory)."""
    band = played(drums="piano-ballad", choruses=1)
    part = next(part for part in band.take.parts if part.controls)
    track = next(track for track in midi_file(band.take).tracks if track.name == part.name)
    found = [
        (tick, message.control, message.value)
        for tick, message in timed(track)
        if message.type == "control_change" and message.control == 64
    ]
    assert found == [control for control in part.controls if control[1] == 64]
    assert found
