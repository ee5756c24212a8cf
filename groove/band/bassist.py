"""The bassist: the root at every change, the idiom's line between, walking where asked."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass, replace
from itertools import pairwise
from random import Random

from groove.band.choose import CellChooser
from groove.band.harmony import Harmony
from groove.band.kit import BASS_RANGE
from groove.band.part import GridNote, Part, weight
from groove.band.patterns import Pattern
from groove.band.walking import Step, walk
from groove.form.chart import Chart
from groove.theory.chords import Chord
from groove.theory.scales import chord_scale, scale_degrees

TWELFTH = 19  # semitones, the widest leap
ROOT, TO_COME, APPROACH, WALK, DEAD = "1", "n", "a", "w", "x"


@dataclass(frozen=True, slots=True)
class _Event:
    """A mark of the bass line in time, its pitch still to be found."""

    start: int
    length: int
    mark: str
    accent: bool = False
    octave: int = 0

    @property
    def end(self) -> int:
        return self.start + self.length


def play_bass(chart: Chart, pattern: Pattern, rng: Random) -> Part:
    """The bass part of a chart; rng is the bassist's own."""
    harmony = Harmony(chart)
    events = _with_roots(_line(chart, pattern, rng), harmony, chart)
    low, high = pattern.options["range"]
    pitches = _pitches(events, harmony, low, high, rng)
    notes = tuple(
        GridNote(
            event.start,
            event.length,
            pitch,
            weight("o" if event.mark == DEAD else "x", event.accent),
        )
        for event, pitch in zip(events, pitches, strict=True)
    )
    return Part("bass", pattern, notes)


def _line(chart: Chart, pattern: Pattern, rng: Random) -> list[_Event]:
    """The marks of all bars in time, notes held over the bar line joined up."""
    chooser = CellChooser(pattern, rng)
    line = pattern.grid.line_ticks
    events: list[_Event] = []
    for index, bar in enumerate(chart.bars):
        if not bar.number:
            short = chart.form.meter.beat_ticks // 2
            length = short if chart.form.ending == "hit" else bar.length
            events.append(_Event(bar.start, length, ROOT, True))
            continue
        played = chooser.next(bar, index)
        placed = [
            _Event(bar.start + s.line * line, s.lines * line, s.mark, s.accent, s.octave)
            for s in played.strokes
        ]
        if played.held:
            first = placed[0].start if placed else bar.end
            if events:
                events[-1] = replace(events[-1], length=first - events[-1].start)
            else:
                events.append(_Event(bar.start, first - bar.start, ROOT))
        events += placed
    return events


def _with_roots(events: list[_Event], harmony: Harmony, chart: Chart) -> list[_Event]:
    """The line with the root of each chord at its change, unless it is anticipated there."""
    beat = chart.form.meter.beat_ticks
    by_start = {event.start: event for event in events}
    starts = sorted(by_start)
    for slot in harmony.changes:
        if slot.start in by_start:
            event = by_start[slot.start]
            if event.mark != WALK:
                by_start[slot.start] = replace(event, mark=ROOT, octave=0)
            continue
        place = bisect_left(starts, slot.start)
        early = by_start[starts[place - 1]] if place else None
        anticipated = (
            early is not None
            and early.mark == TO_COME
            and early.end > slot.start
            and harmony.chord_to_come(early.start) == slot.chord
        )
        if not anticipated:
            after = starts[place] if place < len(starts) else slot.end
            by_start[slot.start] = _Event(slot.start, min(after - slot.start, beat), ROOT)
    ordered = [by_start[start] for start in sorted(by_start)]
    cut = [
        replace(event, length=min(event.length, later.start - event.start))
        for event, later in pairwise(ordered)
    ]
    return [*cut, ordered[-1]]


def _pitches(events: list[_Event], harmony: Harmony, low: int, high: int, rng: Random) -> list[int]:
    if any(event.mark == WALK for event in events):
        later = [*events[1:], None]
        steps = [_step(*pair, harmony) for pair in zip(events, later, strict=True)]
        return walk(steps, low, high, rng)
    pitches: list[int] = []
    root = (low + high) // 2 - 4
    for event in events:
        coming = event.mark in (TO_COME, APPROACH)
        chord = harmony.chord_to_come(event.start) if coming else harmony.slot_at(event.start).chord
        target = nearest_pitch(chord.lowest.pitch_class, root, low, high)
        if event.mark == APPROACH:
            here = harmony.slot_at(event.start).chord
            pitch = rng.choice([p for p in approaches(target, here) if p >= BASS_RANGE[0]])
        else:
            root = target
            pitch = target + _interval(chord, event.mark) + 12 * event.octave
        pitches.append(_within_a_twelfth(_into_range(pitch), pitches[-1] if pitches else pitch))
    return pitches


def _step(event: _Event, later: _Event | None, harmony: Harmony) -> Step:
    slot = harmony.slot_at(event.start)
    leads = later is not None and harmony.slot_at(later.start).start == later.start
    return Step(slot.chord, event.start == slot.start, leads)


def _interval(chord: Chord, mark: str) -> int:
    """Semitones from the bass note of a chord up to one of its degrees, 0 to 12."""
    if mark in (ROOT, TO_COME, DEAD):
        return 0
    if mark == "8":
        return 12
    number = int(mark)
    degree = chord.quality.of_step(number) or (
        chord.quality.third if number == 3 else chord.quality.fifth if number == 5 else None
    )
    if degree is None:
        scale = scale_degrees(chord_scale(chord.quality))
        step = (number - 1) % 7
        degree = scale[step] if step < len(scale) else scale[0]
    note = chord.root + degree
    return (note.pitch_class - chord.lowest.pitch_class) % 12


def approaches(target: int, chord: Chord) -> list[int]:
    """Notes that lead into a target: a semitone below or above, a step of the chord's scale."""
    scale = {
        (chord.root + degree).pitch_class for degree in scale_degrees(chord_scale(chord.quality))
    }
    steps = [target + step for step in (-2, 2) if (target + step) % 12 in scale]
    return [target - 1, target + 1, *steps]


def nearest_pitch(pitch_class: int, near: int, low: int, high: int) -> int:
    """The pitch of a class that lies nearest to another, within low to high (an octave at
    least)."""
    first = low + (pitch_class - low) % 12
    return min(range(first, high + 1, 12), key=lambda pitch: (abs(pitch - near), pitch))


def _within_a_twelfth(pitch: int, before: int) -> int:
    """The pitch, an octave nearer to the one before where the leap would be too wide."""
    if abs(pitch - before) <= TWELFTH:
        return pitch
    return pitch + (12 if pitch < before else -12)


def _into_range(pitch: int) -> int:
    lowest, highest = BASS_RANGE
    while pitch < lowest:
        pitch += 12
    while pitch > highest:
        pitch -= 12
    return pitch
