"""The guitarist plays shapes of the library, near one another, and strikes as a hand swings."""

from __future__ import annotations

from collections import defaultdict
from functools import cache
from itertools import pairwise
from statistics import fmean

import pytest

from groove import library
from groove.band.guitar.shape_library import group
from groove.band.part import GHOST, GridNote
from groove.rhythm.patterns import comping_pattern
from tests.band.band_material import Played, all_patterns, played

OPEN_STRINGS = {1: 64, 2: 59, 3: 55, 4: 50, 5: 45, 6: 40}
SONG = "Imaj7 vi7 ii7 V7 I IV V7:1/2 iii7:1/2 vi ii7b5 V7 I6 I"
PLAIN = "I:2 IV I V:2 vi IV ii V7 I:2"
GUITARS = [n for n in library.names("comping") if comping_pattern(n).voicing == "guitar"]
KEYS = ("C", "G", "Eb", "A")
FOLK = ("strum-guitar", "six-eight-guitar", "nine-eight-guitar", "waltz-guitar")


@cache
def placed() -> frozenset[frozenset[tuple[int, int]]]:
    """Strings and frets of every shape of the library wherever it fits on the neck."""
    found = set()
    for name in library.names("guitar"):
        for shape in group(name).shapes:
            for up in range(15):
                places = zip(shape.strings, shape.frets, strict=True)
                found.add(frozenset((string, fret + up) for string, fret in places))
    return frozenset(found)


@cache
def of_library(stroke: frozenset[tuple[int, int]]) -> bool:
    return any(stroke <= places for places in placed())


@cache
def takes(name: str, chords: str = SONG) -> tuple[Played, ...]:
    pattern = comping_pattern(name)
    fit = [p for p in all_patterns("drums") if p.grid.meter == pattern.grid.meter]
    drums = next((p for p in fit if p.comping == name), fit[0])
    return tuple(
        played(chords, drums=drums.name, comping=name, key=key, choruses=2, seed=seed)
        for seed, key in enumerate(KEYS)
    )


def strokes(band: Played) -> list[list[GridNote]]:
    together: dict[int, list[GridNote]] = defaultdict(list)
    for note in band.comping.notes:
        together[note.start].append(note)
    return [together[start] for start in sorted(together)]


@pytest.mark.parametrize("name", GUITARS)
def test_nine_strokes_in_ten_are_shapes_of_the_library(name: str) -> None:
    found = [
        of_library(frozenset((note.string, note.fret) for note in notes))
        for band in takes(name)
        for notes in strokes(band)
    ]
    assert fmean(found) >= 0.9


@pytest.mark.parametrize("name", GUITARS)
def test_the_hand_moves_four_frets_at_most_at_nine_changes_in_ten(name: str) -> None:
    far = []
    for band in takes(name):
        for slot in band.chart.changes:
            before = [n for n in band.comping.notes if n.start < slot.start and n.fret > 0]
            after = band.during(band.comping, slot.start, slot.end)
            after = [note for note in after if note.fret > 0]
            if before and after:
                last, first = before[-1].start, after[0].start
                here, there = (
                    min(note.fret for note in notes if note.start == at)
                    for notes, at in ((before, last), (after, first))
                )
                far.append(abs(here - there) <= 4)
    assert fmean(far) >= 0.9


@pytest.mark.parametrize("name", FOLK)
def test_folk_guitars_play_open_chords_in_any_key(name: str) -> None:
    """At least seven strokes in ten, with a capo where the key asks for it."""
    rings = []
    for band in takes(name, PLAIN):
        capo = band.comping.capo
        shapes = [
            {(string, fret + capo) for string, fret in zip(shape.strings, shape.frets, strict=True)}
            for shape in group("open").shapes
        ]
        chords = [notes for notes in strokes(band) if len(notes) > 2]
        held = [
            any({(n.string, n.fret) for n in notes} <= places for places in shapes)
            for notes in chords
        ]
        assert fmean(held) >= 0.7, band.form.key
        assert all(note.fret >= capo for note in band.comping.notes)
        rings += [any(note.fret == capo for note in notes) for notes in chords]
    assert fmean(rings) >= 0.7


def test_a_capo_serves_the_keys_that_open_chords_do_not() -> None:
    """None in G and C, on the first fret or the third in E flat (common practice)."""
    capos = {
        key: played(PLAIN, drums="train-beat", comping="strum-guitar", key=key).comping.capo
        for key in ("G", "C", "Eb", "Bb")
    }
    assert capos["G"] == capos["C"] == 0
    assert capos["Eb"] in (1, 3)
    assert capos["Bb"] in (1, 3)


@pytest.mark.parametrize("name", ["strum-guitar", "waltz-guitar", "rock-guitar", "two-four-guitar"])
def test_a_strummed_guitar_keeps_its_top_note_while_a_chord_lasts(name: str) -> None:
    for band in takes(name, PLAIN):
        for bar in band.in_form:
            if len(bar.slots) == 1 and bar.slots[0].chord == bar.slots[-1].chord:
                struck: dict[int, list[GridNote]] = defaultdict(list)
                for note in band.during(band.comping, bar.start, bar.end - band.beat):
                    struck[note.start].append(note)
                tops = [max(n.pitch for n in notes) for notes in struck.values() if len(notes) > 2]
                assert sum(a != b for a, b in pairwise(tops)) <= 1


def test_an_upstroke_catches_the_upper_strings_and_a_downstroke_the_grip() -> None:
    sizes: dict[int, list[int]] = defaultdict(list)
    for band in takes("waltz-guitar", PLAIN):
        for notes in strokes(band):
            lowest = max(note.string for note in notes)
            sizes[(notes[0].start - band.chart.start) % band.beat].append(lowest)
    down, up = sizes[0], sizes[480]
    assert fmean(down) > fmean(up) + 0.3
    assert fmean(string <= 4 for string in up) > 0.8


def test_a_low_string_sounds_the_root_or_the_fifth() -> None:
    """The bass string of a strummed guitar alternates root and fifth (common practice)."""
    for band in takes("strum-guitar", PLAIN):
        found = []
        for notes in strokes(band):
            if len(notes) == 1:
                at = notes[0].start
                slot = next(slot for slot in band.chart.changes if slot.start <= at < slot.end)
                found.append((notes[0].pitch - slot.chord.root.pitch_class) % 12 in (0, 7))
        assert fmean(found) > 0.8


def test_dead_strokes_click_on_the_upper_strings() -> None:
    for band in takes("funk-sixteenths"):
        for notes in strokes(band):
            if notes[0].weight == GHOST:
                assert len(notes) <= 3
                assert min(note.string for note in notes) <= 3


@pytest.mark.parametrize("key", ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"])
def test_a_guitar_of_the_upper_strings_plays_the_lick_of_an_ending(key: str) -> None:
    band = played(key=key, drums="shuffle", comping="shuffle-chops", ending="unison-lick")
    high = played(key=key, drums="sixteenth-funk", comping="afrobeats-guitar", ending="funk-unison")
    for each in (band, high):
        last = [note for note in each.comping.notes if each.chart.bar_at(note.start).number == 0]
        assert last
        assert all(OPEN_STRINGS[n.string] + n.fret == n.pitch for n in last)


def test_palm_muted_strokes_are_short_and_low() -> None:
    """The heel of the hand on the low strings: roots and fifths, three strings at most."""
    found = []
    for band in takes("palm-muted-guitar", PLAIN):
        for notes in strokes(band):
            if all(note.length <= band.beat // 3 for note in notes):
                slot = next(s for s in band.chart.changes if s.start <= notes[0].start < s.end)
                assert len(notes) <= 3
                root = slot.chord.root.pitch_class
                found.append(all((n.pitch - root) % 12 in (0, 7) for n in notes))
    assert len(found) > 100
    assert fmean(found) > 0.9
