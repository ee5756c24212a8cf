"""Bends, slides and vibrato of a soloist: the course of pitch, and the MIDI pitch bends.

A pitch bend lies from -8192 to 8191, 0 is none (MIDI 1.0 Detailed Specification, MIDI
Manufacturers Association, from memory); the range is 2 semitones.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from groove.band.lines.bends import bends_of, course, hand
from groove.band.part import BEND, Gesture, PlayedNote

TICKS_A_MS = 2.0


def note(start: int, length: int, gesture: Gesture, pitch: int = 60) -> PlayedNote:
    return PlayedNote(start, length, pitch, 90, gesture=gesture)


def cents(value: int) -> float:
    return value / 8192 * 200


def bends(*notes: PlayedNote) -> list[tuple[int, float]]:
    found = bends_of(notes, lambda tick: TICKS_A_MS)
    assert {number for _, number, _ in found} <= {BEND}
    return [(tick, cents(value)) for tick, _, value in found]


def test_a_plain_line_has_no_bends() -> None:
    assert bends(note(0, 900, Gesture()), note(960, 900, Gesture(joined="slide"))) == []


@pytest.mark.parametrize("semitones", [0.5, 1.0, 2.0])
def test_a_bend_reaches_its_target_in_half_the_note_and_stays_there(semitones: float) -> None:
    found = bends(note(0, 800, Gesture(bend=semitones)))
    assert found[-2][1] == pytest.approx(100 * semitones, abs=0.1)
    assert found[-2][0] <= 0.55 * 800
    assert found[-1] == (800, 0)


def test_a_bend_is_smooth() -> None:
    """No step is as large as a sixth of a tone, which would be heard as a step."""
    found = bends(note(0, 1900, Gesture(bend=2.0, release=True)))
    levels = [0.0, *(level for _, level in found)]
    assert max(abs(after - before) for before, after in pairwise(levels)) < 33


def test_a_released_bend_is_back_before_the_note_ends() -> None:
    found = bends(note(0, 1900, Gesture(bend=2.0, release=True)))
    assert max(level for _, level in found) == pytest.approx(200, abs=0.1)
    assert found[-1][1] == 0
    assert found[-1][0] < 1900


def test_a_bent_string_is_back_as_the_next_note_begins_and_rings_on_before_a_rest() -> None:
    bent = Gesture(bend=1.0)
    near = bends(note(0, 900, bent), note(960, 900, Gesture()))
    assert near[-1] == (960, 0)
    far = bends(note(0, 900, bent), note(3000, 900, Gesture()))
    rings = round(1000 * hand()["rings"] * TICKS_A_MS)
    assert far[-1] == (900 + rings, 0)


def test_a_slide_comes_from_below_or_goes_on_to_the_next_note() -> None:
    coming = bends(note(0, 1900, Gesture(comes=-2)))
    assert coming[0] == (0, -200)
    assert coming[-1][1] == 0
    going = bends(note(0, 960, Gesture(goes=2)), note(960, 900, Gesture(joined="slide")))
    assert going[0][0] > 700
    assert going[-2][1] == pytest.approx(200, abs=0.1)
    assert going[-1] == (960, 0)


def test_vibrato_is_for_long_notes_and_goes_upwards_as_a_finger_does() -> None:
    figures = hand()
    shaken = Gesture(shaken=True)
    assert course(shaken, figures["vibrato"]["seconds"] - 0.01, figures) == []
    points = course(shaken, 2.0, figures)
    assert points[0][0] == figures["vibrato"]["after"]
    assert min(level for _, level in points) == 0
    assert max(level for _, level in points) == figures["vibrato"]["cents"]
    assert points[-1][0] <= 2.0


@pytest.mark.parametrize("length", [1, 7, 40, 200])
def test_a_note_that_is_too_short_for_its_gesture_ends_in_time(length: int) -> None:
    for gesture in (Gesture(bend=2.0, release=True), Gesture(comes=-2), Gesture(goes=-2)):
        found = bends(note(0, length, gesture), note(length, 900, Gesture()))
        assert all(0 <= tick <= length for tick, _ in found)
        assert not found or found[-1][1] == 0


def test_bends_are_in_order_of_time() -> None:
    gestures = [Gesture(bend=2.0), Gesture(goes=1), Gesture(joined="slide", shaken=True)]
    found = bends(*(note(960 * n, 950, each) for n, each in enumerate(gestures * 4)))
    assert [tick for tick, _ in found] == sorted(tick for tick, _ in found)
