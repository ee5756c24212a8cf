"""The pitches of a bass line: roots in position, degrees of the chord, approaches."""

from __future__ import annotations

from dataclasses import dataclass, replace
from random import Random

from groove.band.bass.walking import DOWNBEAT, SKIP, STRONG, WEAK, Step, walk
from groove.band.changes import Changes
from groove.band.degrees import (
    OCTAVE,
    WIDEST,
    above_bass,
    approach,
    fits_key,
    key_tones,
    next_root,
)
from groove.form.chart import Chart, Slot
from groove.rhythm.kit import BASS_RANGE
from groove.theory.keys import Key

ROOT, TO_COME, APPROACH, WALK, DEAD = "1", "n", "a", "w", "x"
PASSES = 3  # over a line to take its wide leaps out


@dataclass(frozen=True, slots=True)
class LineNote:
    """A note of the bass line in time, its pitch still to be found.

    octave: octaves that the pitch is moved by.
    """

    start: int
    length: int
    mark: str
    accent: bool = False
    octave: int = 0

    @property
    def end(self) -> int:
        """The tick at which it ends."""
        return self.start + self.length


def line_pitches(
    events: list[LineNote], changes: Changes, chart: Chart, span: tuple[int, int], rng: Random
) -> list[int]:
    """The MIDI pitch of each mark: roots near the one before and in position, approaches last.

    span: lowest and highest MIDI note for roots. rng: the bassist's own.
    """
    low, high = span
    root = last = home = low + 5
    pitches: list[int] = []
    for event in events:
        if event.mark == TO_COME:
            slot = changes.slot_to_come(event.start)
        else:
            slot = changes.slot_at(event.start)
        chord, tone = slot.chord, slot.lowest.pitch_class
        if event.mark not in (DEAD, APPROACH):
            if not pitches or tone != root % 12:
                root = next_root(tone, root, last, home, high)
            above = _interval(slot, event.mark, chart.key_at(event.start))
            pitch = root + above + 12 * event.octave
            last = _within_reach(pitch, last)
        pitches.append(last)
    target, onward = _within_reach(pitches[0], last), 0  # the note after the end of a loop
    for place in reversed(range(len(events))):
        event = events[place]
        if event.mark == APPROACH:
            steps = (-2, -1) if onward > 0 else (1, 2) if onward < 0 else (-2, -1, 1, 2)
            before = pitches[place - 1]
            chord = changes.slot_at(event.start).chord
            key = key_tones(chart.key_at(event.start))
            pitches[place] = approach(target, before, steps, chord, key, rng)
            onward = target - pitches[place]
        else:
            onward = 0
        target = pitches[place]
    return _without_wide_leaps(events, pitches)


def _without_wide_leaps(events: list[LineNote], pitches: list[int]) -> list[int]:
    """The line with single notes an octave away where that saves leaps over an octave."""
    lowest, highest = BASS_RANGE
    line = list(pitches)
    for _ in range(PASSES):
        for place in reversed(range(1, len(line) - 1)):
            if events[place].mark not in (DEAD, APPROACH):
                here, around = line[place], (line[place - 1], line[place + 1])
                octaves = [p for p in (here, here - 12, here + 12) if lowest <= p <= highest]
                line[place] = min(octaves, key=lambda p: sum(_too_wide(p, q) for q in around))
    for place, event in enumerate(events):
        if event.mark == DEAD and place:
            line[place] = line[place - 1]
    return line


def _too_wide(pitch: int, other: int) -> int:
    """Semitones by which a leap is wider than an octave."""
    return max(0, abs(pitch - other) - 12)


def _interval(slot: Slot, mark: str, key: Key) -> int:
    """Semitones from the bass of a chord up to a mark; over a pedal note its octave at most."""
    chord = slot.chord
    if mark == OCTAVE:
        return 12
    if mark in (ROOT, TO_COME) or slot.pedal:
        return 0
    number = int(mark)
    return above_bass(chord, number if fits_key(chord, number, key) else 5)


def walked_pitches(
    events: list[LineNote], changes: Changes, chart: Chart, span: tuple[int, int], rng: Random
) -> list[int]:
    """The MIDI pitches of a walking line; a dead note has the pitch of the note before it.

    span: lowest and highest MIDI note of the line. rng: the bassist's own.
    """
    sounding = [event for event in events if event.mark != DEAD]
    steps = [_step(event, changes, chart) for event in sounding]
    loops = chart.loops
    following = [*steps[1:], steps[0] if loops else None]
    steps = [
        replace(step, leads_to=later.only) if later else step
        for step, later in zip(steps, following, strict=True)
    ]
    line = iter(walk(steps, *span, loops, rng))
    pitches: list[int] = []
    for event in events:
        pitches.append(pitches[-1] if event.mark == DEAD else next(line))
    return pitches


def _step(event: LineNote, changes: Changes, chart: Chart) -> Step:
    bar = chart.bar_at(event.start)
    meter, slot, key = bar.meter, changes.slot_at(event.start), bar.key
    in_bar = (event.start - bar.start) % bar.length
    if in_bar not in meter.beat_starts:
        place = SKIP
    elif in_bar == 0:
        place = DOWNBEAT
    else:
        place = STRONG if in_bar in meter.group_starts else WEAK
    only = -1
    if event.start == slot.start:
        only = slot.lowest.pitch_class
    elif event.mark not in (WALK, APPROACH):
        above = _interval(slot, event.mark, key)
        only = (slot.lowest.pitch_class + above) % 12
    return Step(
        slot.chord,
        key_tones(key),
        place,
        bar.road - 1 + (event.start - bar.start) / bar.length,
        only,
    )


def _within_reach(pitch: int, last: int) -> int:
    """The pitch in the octave that the instrument has, within a twelfth of the last note."""
    while pitch < max(BASS_RANGE[0], last - WIDEST):
        pitch += 12
    while pitch > min(BASS_RANGE[1], last + WIDEST):
        pitch -= 12
    return pitch
