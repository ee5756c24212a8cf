"""The data of what can be heard beside the band: lines of guide tones, and licks."""

from __future__ import annotations

from itertools import pairwise

import pytest

from groove.form.choruses import in_key
from groove.form.read import read_form
from groove.form.unroll import unroll
from groove.handout.practice.chords import chords_of_chorus
from groove.handout.practice.hear import heard_lines
from groove.handout.practice.road import Road, on_a_road
from groove.handout.practice.streams import unpacked
from groove.handout.practice.takes import on_the_road
from groove.instrument.fretboard import read_tuning
from groove.lesson.request import USUAL
from groove.lesson.solo.make import licks
from groove.theory.chords import parse_chord
from groove.theory.keys import twelve_keys
from groove.theory.motion import guide_lines
from tests.form.road_material import arranged
from tests.handout.practice.page_material import ARRANGEMENT


def test_guide_tones_are_those_of_the_lesson_chord_by_chord() -> None:
    form = read_form("twelve-bar", key="A")
    slots = tuple(chords_of_chorus(form))
    keys = twelve_keys(form.key)
    numbers = list(unpacked(heard_lines(form, slots, keys, USUAL)["guideTones"]))
    lines = guide_lines([parse_chord(name) for name in ("A7", "D7", "A7", "E7", "D7", "A7")])
    ours = [
        tone.name.fifths - form.key.tonic.fifths
        for pair in zip(*lines, strict=True)
        for tone in pair
    ]
    by_chord = list(zip(numbers[::2], numbers[1::2], strict=True))
    found = [
        by_chord[0],
        *(by_chord[n] for n in range(1, len(slots)) if slots[n][2] != slots[n - 1][2]),
    ]
    assert [number for pair in found for number in pair] == ours


def test_a_line_that_is_moved_is_led_to_as_it_sounds() -> None:
    form = on_a_road(arranged(**ARRANGEMENT))
    assert form is not None
    chart = unroll(on_the_road(form))
    slots = tuple(Road(form, chart, [], 10).slots())
    found = heard_lines(form, slots, twelve_keys(form.key), USUAL)
    numbers = list(unpacked(found["guideTones"]))
    assert len(numbers) == 2 * len(slots)
    sounding = [
        [(7 * (form.key.tonic.fifths + number) + slot[4]) % 12 for number in pair]
        for slot, pair in zip(slots, zip(numbers[::2], numbers[1::2], strict=True), strict=True)
    ]
    assert any(slot[4] for slot in slots)
    for (one, other), (slot, after) in zip(pairwise(sounding), pairwise(slots), strict=True):
        way = sum(abs((b - a + 5) % 12 - 5) for a, b in zip(one, other, strict=True))
        crossed = sum(abs((b - a + 5) % 12 - 5) for a, b in zip(one, other[::-1], strict=True))
        assert way <= crossed, (slot, after)


@pytest.mark.parametrize("number", [0, 9])
def test_licks_lie_in_every_key_as_on_the_sheet(number: int) -> None:
    form = read_form("twelve-bar", key="A")
    keys = twelve_keys(form.key)
    found = heard_lines(form, tuple(chords_of_chorus(form)), keys, USUAL)["licks"]
    lines = licks(in_key(form, keys[number]), read_tuning("guitar"))
    assert len(found["placed"][number]) == len(lines) == 5
    for (_, fret, _, time, low, tab, name), line in zip(
        found["placed"][number], lines, strict=True
    ):
        assert fret == line.position
        times = list(unpacked(found["times"][time]))
        assert times[1::2] == [note.length for note in line.notes]
        assert low == min(note.place.fret for note in line.notes if note.place)
        assert len(list(unpacked(found["tabs"][tab]))) == 2 * len(line.notes)
        names = [fifths + keys[number].tonic.fifths for fifths in unpacked(found["names"][name])]
        assert names == [note.name.fifths for note in line.notes]
