"""A soloist's bends, slides and vibrato as a course of pitch, and as MIDI pitch bends.

Figures: ``patterns/lines.toml``, `solo.hand`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby, pairwise
from operator import attrgetter
from typing import Any

from groove import library
from groove.band.part import BEND, BEND_RANGE, PLAIN, SOLO, Control, Gesture, PlayedNote

Point = tuple[float, float]
"""Seconds from the start of a note, and cents from its pitch."""

EASE = ((0.25, 0.12), (0.5, 0.5), (0.75, 0.88), (1.0, 1.0))
"""The way of a hand from one place to another: shares of its time and of its distance."""
QUARTERS = ((0.25, 0.5), (0.5, 1.0), (0.75, 0.5), (1.0, 0.0))
"""A turn of vibrato: shares of its time and of its depth."""
ARRIVED = 0.85
"""The share of its time after which a slide has arrived: it is heard before the next note."""
STEP_MS = 8.0
"""Milliseconds from one pitch bend to the next, at least."""
FULL = 8191
"""The value of a pitch bend by the whole of its range."""


def hand() -> dict[str, Any]:
    """The figures of a soloist's left hand."""
    figures: dict[str, Any] = library.table("lines")[SOLO]["hand"]
    return figures


def course(gesture: Gesture, seconds: float, figures: dict[str, Any]) -> list[Point]:
    """The points between which the pitch of a note moves in straight lines; none if it stays.

    seconds: the note's length. figures: see `hand`.

    >>> course(Gesture(bend=1.0), 2.0, hand())[-1]
    (0.16, 100.0)
    """
    points: list[Point] = []
    slide = min(figures["slide"], seconds / 3)

    def move(at: float, takes: float, start: float, end: float) -> None:
        points.append((at, start))
        points.extend((at + takes * time, start + (end - start) * way) for time, way in EASE)

    if gesture.comes:
        move(0.0, slide, 100.0 * gesture.comes, 0.0)
    if gesture.bend:
        cents = 100.0 * gesture.bend
        takes = [time for least, time in figures["bends"] if least <= gesture.bend][-1]
        takes = min(takes, figures["most"] * seconds)
        at = min(figures["waits"], takes)
        move(at, takes, 0.0, cents)
        if gesture.release:
            back = max(at + takes, figures["back"] * seconds)
            move(back, min(figures["down"], (seconds - back) / 2), cents, 0.0)
    elif gesture.shaken:
        points += _vibrato(seconds, figures["vibrato"])
    if gesture.goes:
        move(seconds - slide, ARRIVED * slide, 0.0, 100.0 * gesture.goes)
    return points


def _vibrato(seconds: float, figures: dict[str, float]) -> Iterator[Point]:
    if seconds < figures["seconds"]:
        return
    turn = 1 / figures["hertz"]
    at = figures["after"]
    yield at, 0.0
    depth = figures["cents"] / 2  # the first turn is narrow
    while at + turn <= seconds:
        yield from ((at + turn * time, depth * share) for time, share in QUARTERS)
        at += turn
        depth = figures["cents"]


def bends_of(notes: Sequence[PlayedNote], ticks_per_ms: Callable[[int], float]) -> list[Control]:
    """The pitch bends of a part's notes, in order of time; notes that begin together bend together.

    A bend stays until the next note begins, or until the note has died away where none does.
    notes: in order of time. ticks_per_ms: at a tick.
    """
    if all(note.gesture == PLAIN for note in notes):
        return []
    figures = hand()
    found: list[Control] = []
    groups = [list(group) for _, group in groupby(notes, key=attrgetter("start"))]
    for group, following in zip(groups, [*groups[1:], None], strict=True):
        lead = max(group, key=attrgetter("length"))
        start, length, rate = lead.start, lead.length, ticks_per_ms(lead.start)
        last = following[0].start if following else start + length
        bends = [
            (start + round(ms * rate), BEND, value)
            for ms, value in _values(course(lead.gesture, length / rate / 1000, figures))
        ]
        bends = [(tick, number, value) for tick, number, value in bends if tick < last]
        if bends and bends[-1][2]:
            back = start + length + round(1000 * figures["rings"] * rate)
            bends.append((min(back, last), BEND, 0))
        found += bends
    return found


def _values(points: Sequence[Point]) -> Iterator[tuple[float, int]]:
    """Milliseconds and values of the pitch bends that follow a course, each unlike the last."""
    last = 0
    for before, after in pairwise([*points[:1], *points]):
        steps = max(1, int(1000 * (after[0] - before[0]) / STEP_MS))
        for step in range(1, steps + 1):
            seconds, cents = (
                a + (b - a) * step / steps for a, b in zip(before, after, strict=True)
            )
            value = max(-FULL - 1, min(FULL, round(cents / (100 * BEND_RANGE) * (FULL + 1))))
            if value != last:
                yield 1000 * seconds, value
                last = value
