"""Chords with a mark of their own: pushed and held over, silent (N.C.), or the root alone."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace
from itertools import groupby
from operator import attrgetter
from typing import Protocol, TypeVar

from groove.band.bass.bass_positions import positions
from groove.band.changes import Changes
from groove.band.guitar import guitar_shapes
from groove.band.part import GridNote, weight
from groove.form.chart import Slot
from groove.rhythm.kit import BASS_RANGE, KIT, TIMEKEEPERS

OCTAVE = 12
HELD = 1  # beats that a pushed chord is held from its written place on, at most


class Timed(Protocol):
    """Anything that lasts from one tick to another."""

    @property
    def start(self) -> int:
        """The tick at which it begins."""

    @property
    def end(self) -> int:
        """The tick at which it ends."""


_Timed = TypeVar("_Timed", bound=Timed)


def with_pushes(
    strokes: Sequence[_Timed], changes: Changes, beat: int, struck: Callable[[Slot, int], _Timed]
) -> list[_Timed]:
    """The strokes in order, each pushed chord struck where it sounds and held over its place, for a
    beat at most, or as long as the stroke would have lasted that it takes the place of.

    struck: makes the stroke of a chord, given its length in ticks.
    """
    pushed = [slot for slot in changes.slots if slot.early]
    if not pushed:
        return list(strokes)
    kept = []
    until: dict[int, int] = {}  # the end of what a pushed chord takes the place of, by its start
    for stroke in strokes:
        slot = changes.slot_at(stroke.start)
        if slot.early and stroke.start <= slot.written_start:
            until[slot.start] = max(until.get(slot.start, 0), stroke.end)
        else:
            kept.append(stroke)
    starts = sorted(stroke.start for stroke in kept)
    for slot in pushed:
        place = bisect_right(starts, slot.start)
        after = starts[place] if place < len(starts) else slot.end
        held = max(slot.written_start + HELD * beat, until.get(slot.start, 0))
        kept.append(struck(slot, min(after, slot.end, held) - slot.start))
    return sorted(kept, key=attrgetter("start"))


def drummed(
    notes: Iterable[GridNote],
    slots: Iterable[Slot],
    line: int,
    keeps: tuple[str, ...],
    crashed: Collection[int] = (),
) -> list[GridNote]:
    """The drum notes, the kick struck with each pushed chord in place of the beat it comes before.

    line: ticks that a stroke lasts. keeps: voices that nothing breaks. crashed: the written ticks
    of chords that a crash goes with; with the others the hand that keeps time has an accent.
    """
    pushed = {slot.start: slot.written_start for slot in slots if slot.early}
    if not pushed:
        return list(notes)
    moved = set(pushed) | set(pushed.values())
    kept = [
        note for note in notes if note.row != "kick" or "kick" in keeps or note.start not in moved
    ]
    loud = weight("x", True)
    timing = {note.start for note in kept if note.row in TIMEKEEPERS}
    struck = []
    for at, written in pushed.items():
        rows = ["kick"]
        if written in crashed:
            rows.append("crash")
        elif at not in timing:
            rows.append("hat-open")
        struck += [GridNote(at, line, KIT[row].note, loud, row) for row in rows]
    kept = [
        replace(note, weight=loud) if note.start in pushed and note.row in TIMEKEEPERS else note
        for note in kept
    ]
    return sorted([*kept, *struck], key=lambda note: (note.start, note.pitch))


def without_silent(notes: Iterable[GridNote], changes: Changes) -> list[GridNote]:
    """The notes outside the silences, none ringing into one."""
    silences = [slot.start for slot in changes.slots if slot.silent]
    if not silences:
        return list(notes)
    kept = []
    for note in notes:
        if changes.slot_at(note.start).silent:
            continue
        place = bisect_right(silences, note.start)
        room = silences[place] - note.start if place < len(silences) else note.length
        kept.append(replace(note, length=min(note.length, room)))
    return kept


def bass_roots(notes: Sequence[GridNote], changes: Changes) -> list[GridNote]:
    """The bass notes, those of a chord of which the root alone is wanted moved to that root."""
    if not any(slot.root_only for slot in changes.slots):
        return list(notes)
    pitches = [_root_near(note.pitch, changes.slot_at(note.start)) for note in notes]
    return [
        replace(note, pitch=pitch, string=string, fret=fret)
        for note, pitch, (string, fret) in zip(notes, pitches, positions(pitches), strict=True)
    ]


def comping_roots(notes: Sequence[GridNote], changes: Changes) -> list[GridNote]:
    """The comping notes, one note on the root for each stroke of a chord whose root is wanted."""
    kept: list[GridNote] = []
    for start, group in groupby(notes, key=attrgetter("start")):
        struck = list(group)
        slot = changes.slot_at(start)
        if not slot.root_only:
            kept += struck
            continue
        lowest = min(struck, key=attrgetter("pitch"))
        root = replace(lowest, pitch=_root_near(lowest.pitch, slot))
        if root.string:
            shape = guitar_shapes.places((root.pitch,))[0]
            root = replace(root, string=shape.strings[0], fret=shape.frets[0])
        kept.append(root)
    return kept


def _root_near(pitch: int, slot: Slot) -> int:
    """The pitch of the chord's root, where that alone is wanted, nearest to another pitch."""
    if not slot.root_only:
        return pitch
    above = (slot.chord.root.pitch_class - pitch) % 12
    below = above - OCTAVE
    return pitch + (above if above <= -below or pitch + below < BASS_RANGE[0] else below)
