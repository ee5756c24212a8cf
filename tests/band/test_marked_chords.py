"""Pushed chords, silences and roots alone, as all players have them."""

from __future__ import annotations

import pytest

from groove.band.part import GridNote
from groove.form.chart import Slot
from tests.band.band_material import Played, played

CHORDS = "| Fmaj7 | ~D7b9 | Gm7 / / ~C7 | NC | F* | Bb7* | C7 | F |"
GROOVES = ["eighths-rock", "medium-swing", "shuffle", "bossa", "slow-blues", "sixteenth-funk"]


def band(drums: str, chords: str = CHORDS) -> Played:
    return played(chords, key="F", drums=drums, choruses=2, seed=3)


def starting(notes: tuple[GridNote, ...], first: int, last: int) -> list[GridNote]:
    return [note for note in notes if first <= note.start < last]


def marked(band: Played, what: str) -> list[Slot]:
    """The slots that are marked in the form; others are pushed by the band."""
    return [
        slot
        for slot in band.chart.changes
        if getattr(slot, what) and slot.written_start not in band.plan.pushes
    ]


@pytest.mark.parametrize("drums", GROOVES)
def test_a_push_is_struck_by_all_three_together(drums: str) -> None:
    """A push comes an eighth early, in triplet metres and swing a third of a beat (common
    practice)."""
    found = band(drums)
    pushes = marked(found, "early")
    assert len(pushes) == 4
    for slot in pushes:
        for part in (found.drums, found.bass, found.comping):
            assert slot.start in {note.start for note in part.notes}
        assert slot.written_start - slot.start in (found.beat // 2, found.beat // 3)


@pytest.mark.parametrize("drums", GROOVES)
def test_a_push_is_held_over_its_beat_and_not_struck_again(drums: str) -> None:
    found = band(drums)
    for slot in marked(found, "early"):
        for part in (found.bass, found.comping):
            assert not starting(part.notes, slot.start + 1, slot.written_start + 1)
            early = starting(part.notes, slot.start, slot.start + 1)
            assert max(note.start + note.length for note in early) > slot.written_start


@pytest.mark.parametrize("drums", GROOVES)
def test_without_a_chord_bass_and_comping_are_silent_and_the_drums_go_on(drums: str) -> None:
    found = band(drums)
    for slot in marked(found, "silent"):
        for part in (found.bass, found.comping):
            assert not starting(part.notes, slot.start, slot.end)
            assert all(
                note.start >= slot.end or note.start + note.length <= slot.start
                for note in part.notes
            )
        assert starting(found.drums.notes, slot.start, slot.end)


@pytest.mark.parametrize("drums", GROOVES)
def test_the_root_alone_is_all_that_sounds(drums: str) -> None:
    found = band(drums)
    for slot in marked(found, "root_only"):
        for part in (found.bass, found.comping):
            notes = starting(part.notes, slot.start, slot.end)
            assert notes
            assert {note.pitch % 12 for note in notes} == {slot.chord.root.pitch_class}
        starts = [note.start for note in starting(found.comping.notes, slot.start, slot.end)]
        assert len(starts) == len(set(starts))


def test_a_push_at_the_start_of_the_track_comes_on_its_beat() -> None:
    found = band("eighths-rock", "| ~F | C | F | C |")
    assert found.chart.changes[0].start == found.chart.start
    assert found.chart.changes[0].early == 0


def test_chords_are_written_at_their_places_and_sound_where_they_are_pushed_to() -> None:
    found = band("eighths-rock")
    pushed = marked(found, "early")[0]
    bar = found.chart.bar_at(pushed.written_start)
    assert bar.slots[0].start == pushed.written_start == bar.start
    assert bar.slots[0].chord == pushed.chord
    assert found.chart.changes[0].end == pushed.start
