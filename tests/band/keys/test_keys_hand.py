"""A keys player's hands: the top line sings, the left hand reaches down, chords are coloured.

How people accompany: piano accompaniments of 81 pop songs (POP909, Wang et al., ISMIR 2020): the
same top note again in 12 to 63 of 100 strokes, median 29; at most 3 to 10 times in a row.
"""

from __future__ import annotations

from functools import cache
from itertools import groupby, pairwise
from typing import Any

import pytest

from groove.band.keys.controls import ROTARY, SUSTAIN, SWELL
from groove.band.part import LEFT, GridNote
from tests.band.band_material import Played, played

BLUES = "I7:4 IV7:2 I7:2 V7 IV7 I7:2"
SONG = "I:2 vi:2 IV iii ii7:2 vi iii7 IV V7 I:4"
SINGING = {  # drums that a pattern goes with
    "slow-keys": "slow-blues", "charleston-piano": "medium-swing", "stabs-keys": "second-line",
    "shuffle-organ": "half-time-shuffle", "sustained-keys": "eighths-rock",
}  # fmt: skip
MAJOR_THIRD, NINTH, THIRTEENTH = 4, 2, 9  # semitones


@cache
def band(comping: str, drums: str, chords: str = BLUES, **fields: Any) -> Played:
    return played(chords, key="G", drums=drums, comping=comping, choruses=3, **fields)


def strokes(band: Played) -> list[list[GridNote]]:
    """The notes of each stroke of three and more, the lowest first."""
    groups = (list(group) for _, group in groupby(band.comping.notes, lambda note: note.start))
    return [sorted(g, key=lambda note: note.pitch) for g in groups if len(g) > 2]


@pytest.mark.parametrize(("comping", "drums"), SINGING.items())
@pytest.mark.parametrize("chords", [BLUES, SONG])
def test_the_top_line_is_no_drone(comping: str, drums: str, chords: str) -> None:
    tops = [notes[-1].pitch for notes in strokes(band(comping, drums, chords))]
    same = [a == b for a, b in pairwise(tops)]
    assert sum(same) <= 0.5 * len(same)
    assert max(len(list(run)) for _, run in groupby(tops)) <= 10


@pytest.mark.parametrize(("comping", "drums"), SINGING.items())
def test_four_bars_of_a_chord_have_three_top_notes(comping: str, drums: str) -> None:
    music = band(comping, drums)
    for slot in music.chart.changes:
        for start in range(slot.start, slot.end - 4 * music.bar + 1, 4 * music.bar):
            inside = [notes for notes in strokes(music)
                      if start <= notes[0].start < start + 4 * music.bar]  # fmt: skip
            assert len(inside) < 3 or len({notes[-1].pitch for notes in inside}) >= 3


@pytest.mark.parametrize(("comping", "drums"), SINGING.items())
def test_at_changes_the_top_moves_by_a_major_third_at_most(comping: str, drums: str) -> None:
    """In four of five."""
    music = band(comping, drums, SONG)
    line = [(notes[-1].start, notes[-1].pitch) for notes in strokes(music)]
    moves = []
    for slot in music.chart.changes[1:]:
        before = [pitch for tick, pitch in line if tick < slot.start]
        after = [pitch for tick, pitch in line if slot.start <= tick < slot.end]
        if before and after:
            moves.append(abs(after[0] - before[-1]))
    assert sum(move <= MAJOR_THIRD for move in moves) >= 0.8 * len(moves)


@pytest.mark.parametrize(
    ("comping", "drums"),
    [("sustained-keys", "eighths-rock"), ("piano-ballad-eighths", "piano-ballad")],
)
def test_a_left_hand_has_roots_and_fifths_down_to_g2(comping: str, drums: str) -> None:
    music = band(comping, drums, SONG)
    left = [note for note in music.comping.notes if note.row == LEFT]
    assert min(note.pitch for note in left) == 43  # G2 (MIDI 43: the 5th percentile of people's)
    for slot in music.chart.changes:
        root = slot.chord.root.pitch_class
        fifth = {(root + semitones) % 12 for semitones in (0, 3, 4, 7)}
        assert {n.pitch % 12 for n in left if slot.start <= n.start < slot.end} <= fifth


def test_a_left_hand_of_shells_has_third_and_seventh() -> None:
    """Common practice: the right hand has the rest."""
    music = band("charleston-piano", "medium-swing")
    for slot in music.chart.changes:
        guides = {(slot.chord.root.pitch_class + semitones) % 12 for semitones in (4, 10)}
        left = {n.pitch % 12 for n in music.comping.notes
                if n.row == LEFT and slot.start <= n.start < slot.end - music.beat}  # fmt: skip
        assert left <= guides


@pytest.mark.parametrize("comping", ["slow-keys", "stabs-keys", "shuffle-organ"])
def test_dominants_of_a_blues_have_ninth_or_thirteenth(comping: str) -> None:
    """In half of the bars at least."""
    music = band(comping, SINGING[comping])
    coloured = []
    for bar in music.in_form:
        heard = {n.pitch % 12 for n in music.during(music.comping, bar.start, bar.end)}
        root = bar.slots[0].chord.root.pitch_class
        if heard:
            coloured.append(bool(heard & {(root + NINTH) % 12, (root + THIRTEENTH) % 12}))
    assert sum(coloured) >= 0.5 * len(coloured)


@pytest.mark.parametrize("seed", range(3))
def test_a_montuno_walks_through_three_tones_of_the_chord_in_octaves(seed: int) -> None:
    music = band("montuno-piano", "mambo", seed=seed)
    for slot in music.chart.changes:
        octaves = set()
        notes = music.during(music.comping, slot.start, slot.end - music.beat)
        for _, group in groupby(notes, lambda note: note.start):
            pitches = {note.pitch for note in group}
            octaves |= {pitch % 12 for pitch in pitches if pitch - 12 in pitches}
        if slot.length >= 2 * music.bar:
            assert len(octaves) >= 3, music.place(slot.start)


def test_the_pedal_is_changed_with_each_chord_just_after_it() -> None:
    music = band("piano-ballad-eighths", "piano-ballad", SONG)
    controls = [control for control in music.comping.controls if control[1] == SUSTAIN]
    assert {value for _, _, value in controls} == {0, 127}
    assert all(a[2] != b[2] for a, b in pairwise(controls))
    struck = {note.start for note in music.comping.notes}
    for slot in music.chart.changes[1:]:
        if slot.start in struck:
            after = [tick for tick, _, value in controls if tick > slot.start and value]
            assert after[0] - slot.start < music.beat / 2
            pressed = [value for tick, _, value in controls if tick <= slot.start]
            assert pressed[-1] == 0


def test_an_organ_swells_and_its_speaker_turns_slowly_and_fast() -> None:
    controls = band("shuffle-organ", "half-time-shuffle").comping.controls
    assert {number for _, number, _ in controls} == {SWELL, ROTARY}
    assert len({value for _, number, value in controls if number == ROTARY}) == 2
    assert len({value for _, number, value in controls if number == SWELL}) > 4
    assert list(controls) == sorted(controls, key=lambda control: control[0])


def test_a_plain_player_has_the_same_notes_without_slides_and_controllers() -> None:
    with_all = band("shuffle-organ", "half-time-shuffle").comping
    plain = band("shuffle-organ", "half-time-shuffle", plain="keys").comping
    assert not plain.controls
    slides = set(with_all.notes) - set(plain.notes)
    assert slides
    assert set(plain.notes) < set(with_all.notes)
    pitches = {(note.start, note.pitch) for note in plain.notes}
    for grace in slides:
        assert (grace.start + grace.length, grace.pitch + 1) in pitches


def test_controllers_are_in_the_take_at_the_time_of_their_strokes() -> None:
    music = band("piano-ballad-eighths", "piano-ballad", SONG)
    part = next(part for part in music.take.parts if part.name == "comping")
    assert len(part.controls) == len(music.comping.controls)
    starts = {note.start for note in part.notes}
    lifted = [tick for tick, number, value in part.controls if number == SUSTAIN and not value]
    at_strokes = [tick for tick in lifted if tick in starts]
    assert len(at_strokes) >= 0.5 * len(lifted)
