"""The bassist states the roots, stays on the neck, and walks like a walker."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby, pairwise

from hypothesis import given, settings

from groove.band.part import GHOST, GridNote
from groove.form.chart import Slot
from groove.rhythm.patterns import Pattern
from tests.band.band_material import Played, all_patterns, bands, played, shipped_band
from tests.examples import examples

LOWEST, HIGHEST = 28, 67  # E1 on the open string to the 24th fret on G2 = 43 (common practice)
OCTAVE = 12  # semitones


def walks(bass: Pattern) -> bool:
    return any(s.mark == "w" for cell in bass.cells for s in cell.strokes)


def unstated(band: Played) -> list[tuple[str, Slot]]:
    """The chord changes at which the bass has another note than the chord's lowest, struck
    there or at most a beat before and held over; where an idiom leaves the one free, the first
    note within a beat."""
    return [
        (band.place(slot.start), slot)
        for slot in band.plan.bass_chart.changes
        if not any(
            note.pitch % 12 == slot.chord.lowest.pitch_class
            and slot.start - band.beat <= note.start
            for note in band.sounding(band.bass, slot.start, slot.start + 1)
        )
        and not (band.form.bass.late and comes_in_on_the_root(band, slot))
    ]


def comes_in_on_the_root(band: Played, slot: Slot) -> bool:
    notes = band.during(band.bass, slot.start, slot.start + band.beat + 1)
    return bool(notes) and notes[0].pitch % 12 == slot.chord.lowest.pitch_class


def leaps(band: Played) -> Iterable[tuple[str, int]]:
    for before, after in pairwise(band.bass.notes):
        yield band.place(after.start), abs(after.pitch - before.pitch)


def the_root_sounds_at_every_change_of_any_form(band: Played) -> None:
    assert not unstated(band)


def test_the_root_sounds_at_every_change_of_the_shipped_forms() -> None:
    for band in shipped_band():
        assert not unstated(band), band.form


def every_note_lies_on_the_neck(band: Played) -> None:
    assert all(LOWEST <= note.pitch <= HIGHEST for note in band.bass.notes)


def one_note_sounds_at_a_time(band: Played) -> None:
    for before, after in pairwise(band.bass.notes):
        assert before.start < before.start + before.length <= after.start


def no_leap_is_wider_than_an_octave(band: Played) -> None:
    assert not [leap for leap in leaps(band) if leap[1] > OCTAVE]


LAWS = (
    the_root_sounds_at_every_change_of_any_form,
    every_note_lies_on_the_neck,
    one_note_sounds_at_a_time,
    no_leap_is_wider_than_an_octave,
)


@settings(max_examples=examples(80))
@given(bands(choruses=4))
def test_each_law_holds_for_any_form(band: Played) -> None:
    for law in LAWS:
        law(band)


def test_no_leap_in_the_shipped_forms_is_wider_than_an_octave() -> None:
    for band in shipped_band():
        assert not [leap for leap in leaps(band) if leap[1] > OCTAVE], band.form


def test_a_walking_line_steps_into_nearly_every_new_root() -> None:
    """A semitone or a whole step leads into the next chord, or into the skip that anticipates it
    (common practice)."""
    steps = [
        abs(after.pitch - before.pitch)
        for band in shipped_band()
        if walks(band.form.bass)
        for before, after in pairwise(without_skips(band))
        if after.start in {slot.start for slot in band.plan.bass_chart.changes[1:]}
    ]
    assert len(steps) > 100
    assert sum(1 <= step <= 2 for step in steps) >= 0.9 * len(steps)


def without_skips(band: Played) -> list[GridNote]:
    """The line without its skips to a root that the band pushes."""
    pushed = {s.start for s in band.chart.changes if s.written_start in band.plan.skips}
    return [note for note in band.bass.notes if note.start not in pushed]


def test_a_walking_bass_skips_to_some_of_the_roots_that_the_band_pushes() -> None:
    band = played(drums="medium-swing", choruses=12, seed=3, intensity="2")
    notes = {note.start: note.pitch for note in band.bass.notes}
    pushed = [slot for slot in band.chart.changes if slot.written_start in band.plan.pushes]
    assert band.plan.skips
    for slot in pushed:
        root = slot.lowest.pitch_class
        assert notes[slot.written_start] % 12 == root  # the walk goes on
        if slot.written_start in band.plan.skips:
            assert notes[slot.start] % 12 == root


@settings(max_examples=examples(60))
@given(bands(choruses=3, bass=walks))
def test_a_walking_line_has_no_pitch_more_than_twice_in_a_row(band: Played) -> None:
    if min(slot.length for slot in band.plan.bass_chart.changes) >= band.bar // 2:
        # where chords pass by the beat, roots may repeat
        line = [n.pitch for n in band.bass.notes if n.weight > GHOST]  # a dead note has no pitch
        assert all(len(list(same)) <= 2 for _, same in groupby(line))


def test_a_walking_line_uses_all_its_room() -> None:
    """Over three choruses it rises and falls through an octave and more (common practice)."""
    for p in all_patterns("bass"):
        if walks(p):
            drums = next(d for d in all_patterns("drums") if d.bass == p.name)
            pitches = [note.pitch for note in played(drums=drums.name, bass=p.name).bass.notes]
            assert max(pitches) - min(pitches) > 12, p.name


def test_a_tumbao_strikes_the_next_root_on_four() -> None:
    """Strikes "2 and" and 4; the 4 already sounds the next chord (common practice)."""
    band = played("I7 IV7 V7 I7", drums="rumba", bass="tumbao", choruses=4)
    roots = {slot.start: slot.chord.root.pitch_class for slot in band.plan.bass_chart.changes}
    fours = [n for n in band.bass.notes if (n.start - band.chart.start) % band.bar == 3 * band.beat]
    assert len(fours) == len(band.in_form)
    for note in fours:
        coming = roots.get(note.start + band.beat)
        assert coming is None or note.pitch % 12 == coming


def test_a_slash_chord_has_its_bass_note_below() -> None:
    band = played("I/3 IV V/5 I", drums="eighths-rock")
    first = [n.pitch % 12 for n in band.bass.notes if n.start in (band.chart.start,)]
    assert first == [4]  # E under C


def test_the_bass_of_a_blues_follows_the_form() -> None:
    """I I I I - IV IV I I - V IV I I (common practice), at each bar line, in C."""
    band = played(drums="eighths-rock", choruses=1)
    at = {note.start: note.pitch % 12 for note in band.bass.notes}
    roots = [at[bar.start] for bar in band.in_form]
    assert roots == [0, 0, 0, 0, 5, 5, 0, 0, 7, 5, 0, 0]
