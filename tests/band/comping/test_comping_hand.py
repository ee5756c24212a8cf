"""The comping hand voices each stroke from the voicing before it."""

from __future__ import annotations

from collections import defaultdict
from random import Random
from statistics import mean

import pytest

from groove.band.changes import Changes
from groove.band.comping.comping_hand import CompingHand
from groove.band.comping.strokes import Hit
from groove.band.part import GridNote
from groove.form.unroll import unroll
from groove.theory.chords import Chord, parse_chord
from tests.band.band_material import form_of, played

BAR, EIGHTH = 4 * 960, 480
VOICES = ("voice-1", "voice-2", "voice-3", "voice-4")
C7, F7 = parse_chord("C7"), parse_chord("F7")


def voiced(
    chords: str, hits: list[Hit], seed: int = 1, bass: tuple[GridNote, ...] = ()
) -> tuple[GridNote, ...]:
    """The notes of strokes over some chords, on keys, one hand."""
    chart = unroll(form_of(chords, drums="eighths-rock", comping="stabs-keys", count_in=0))
    return CompingHand(chart, bass, Random(seed)).play(hits, Changes(chart))


def single(start: int, row: str, chord: Chord, length: int = EIGHTH) -> Hit:
    return Hit(start, length, chord, row, "x", False)


def test_lower_voices_of_a_bar_are_of_one_voicing_and_the_top_sings() -> None:
    """While a chord lasts its lower voices change only on a bar line: each keeps its pitch
    through a bar; the top voice moves above them."""
    rows = [VOICES[n % 4] for n in range(8)]
    hits = [single(bar * BAR + n * EIGHTH, row, C7)
            for bar in range(8) for n, row in enumerate(rows)]  # fmt: skip
    for seed in range(10):
        notes = voiced("I7:8", hits, seed)
        pitches: dict[tuple[int, str], list[int]] = defaultdict(list)
        for note, hit in zip(notes, hits, strict=True):
            pitches[hit.start // BAR, hit.row].append(note.pitch)
        assert all(len(set(found)) == 1 for (_, row), found in pitches.items() if row != "voice-4")
        tops = [pitch for bar in range(8) for pitch in pitches[bar, "voice-4"]]
        assert len(set(tops)) > 2
        assert all(pitches[bar, "voice-3"][0] < min(pitches[bar, "voice-4"]) for bar in range(8))


def test_another_chord_ends_the_notes_of_the_one_before() -> None:
    hits = [single(0, "voice-1", C7, 3 * BAR), single(EIGHTH, "voice-2", C7, EIGHTH),
            single(2 * BAR, "chord", F7, BAR)]  # fmt: skip
    first, second, *chord = voiced("I7:2 IV7:2", hits)
    assert first.length == 2 * BAR
    assert second.length == EIGHTH
    assert {note.length for note in chord} == {BAR}


def test_voices_are_counted_from_the_lowest_and_a_missing_one_is_the_highest() -> None:
    """Within a bar of single voices; the row of the top is theirs too."""
    hits = [*(single(n * EIGHTH, row, C7) for n, row in enumerate((*VOICES, "top"))),
            single(6 * EIGHTH, "chord", C7)]  # fmt: skip
    notes = voiced("I7:4", hits)
    whole = sorted(note.pitch for note in notes if note.start == 6 * EIGHTH)
    *lower, _, _ = [note.pitch for note in notes if note.start < 6 * EIGHTH]
    assert lower == whole[:3]
    assert all(note.pitch > lower[-1] for note in notes[3:5])


def test_a_fourth_above_the_bass_is_far_enough_and_a_third_is_not() -> None:
    """Thirds above a bass note turn to mud (common practice)."""
    hits = [single(0, "chord", C7)]
    free = [note.pitch for note in voiced("I7:4", hits)]
    lowest = min(free)
    for below, kept in ((5, True), (4, False)):
        bass = (GridNote(0, BAR, lowest - below, 0.62),)
        assert ([note.pitch for note in voiced("I7:4", hits, bass=bass)] == free) == kept


@pytest.mark.parametrize("after", ["bVImaj7", "i7"])
def test_the_dominant_of_a_minor_key_takes_no_ninth_from_outside_the_key(after: str) -> None:
    """E7 in A minor: no F sharp, whatever chord follows (common practice)."""
    for seed in range(12):
        band = played(
            f"V7:2 {after}:2", key="Am", drums="eighths-rock", comping="sustained-keys", seed=seed
        )
        for slot in band.chart.changes:
            if slot.chord.root.pitch_class == 4:
                heard = band.during(band.comping, slot.start, slot.end - band.beat)
                assert 6 not in {note.pitch % 12 for note in heard}


def has_ninth(chords: str, root: int) -> bool:
    """True if a dominant on a root gets its ninth from a player who colours chords, key of C."""
    for seed in range(12):
        band = played(chords, drums="eighths-rock", comping="sustained-keys", seed=seed)
        for slot in band.chart.changes:
            if slot.chord.root.pitch_class == root and slot.chord.quality.is_dominant:
                heard = band.during(band.comping, slot.start, slot.end - band.beat)
                if (root + 2) % 12 in {note.pitch % 12 for note in heard}:
                    return True
    return False


def test_a_dominant_takes_a_ninth_unless_it_leads_to_a_minor_chord() -> None:
    """A in G7 on the way to C is common; on the way from A7 to D minor B flat sounds, not B
    (common practice)."""
    assert has_ninth("V7:2 Imaj7:2", root=7)
    assert not has_ninth("VI7:2 ii7:2", root=9)


@pytest.mark.parametrize(("row", "mark"), [("chord", "x"), ("line", "1+5")])
def test_keys_are_on_no_string(row: str, mark: str) -> None:
    notes = voiced("II7:2", [Hit(0, EIGHTH, parse_chord("D7"), row, mark, False)])
    assert {(note.string, note.fret) for note in notes} == {(0, -1)}


def test_guitar_figures_stay_near_the_nut() -> None:
    """Boogie figures are played in the first positions, near the open strings (common practice)."""
    for key in ("C", "D", "E", "F", "G", "A", "Bb"):
        band = played(key=key, drums="eighths-rock", comping="boogie-sixths", choruses=2)
        assert mean(note.fret for note in band.comping.notes) <= 5, key


@pytest.mark.parametrize("drums", ["boogie-piano", "stop-time"])
def test_keys_and_guitar_play_a_lick_of_exact_degrees_with_the_bass(drums: str) -> None:
    """A unison lick in the blues runs from the fifth down through the raised fourth (common
    practice)."""
    band = played(drums=drums, ending="unison-lick", choruses=1)
    lick = band.chart.bars[-2]
    bass, comping = (
        [(note.start, note.pitch % 12) for note in band.during(part, lick.start, lick.end)]
        for part in (band.bass, band.comping)
    )
    assert comping == bass
    assert len(bass) >= 6
