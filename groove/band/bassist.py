"""The bassist: the root at every change, the idiom's line between, walking where asked.

He falls in with the kick, leans on the notes that it strikes, and plays plainly while the
drummer fills.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from random import Random

from groove.band.degrees import (
    OCTAVE,
    WIDEST,
    above_bass,
    approach,
    fits_key,
    key_tones,
    next_root,
)
from groove.band.harmony import Harmony
from groove.band.kit import BASS_RANGE
from groove.band.lock import KickLock
from groove.band.neck import positions
from groove.band.part import GridNote, Part, weight
from groove.band.patterns import Cell, Pattern
from groove.band.walking import DOWNBEAT, SKIP, STRONG, WEAK, Step, walk
from groove.form.chart import Bar, Chart, Slot
from groove.theory.chords import Chord
from groove.theory.keys import Key

ROOT, TO_COME, APPROACH, WALK, DEAD = "1", "n", "a", "w", "x"
WITH_KICK = 0.06  # weight that a note gains from the kick
PASSES = 3  # over a line to take its wide leaps out


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


def play_bass(chart: Chart, pattern: Pattern, drums: Part, rng: Random) -> Part:
    """The bass part of a chart, with the drummer's; rng is the bassist's own."""
    harmony, beat, tied = Harmony(chart), chart.form.meter.beat_ticks, _ties(pattern)
    lock = KickLock(pattern, drums, harmony, rng)
    events = _line(chart, pattern, lock, harmony)
    if not tied:
        events = _plain_in_fills(events, drums.fills, harmony, beat)
    events = _with_roots(events, harmony, beat, tied)
    low, high = pattern.options["range"]
    walks = any(event.mark == WALK for event in events)
    pitches = (_walked if walks else _pitches)(events, harmony, chart, (low, high), rng)
    kicks = frozenset(lock.kicks)
    notes = tuple(
        GridNote(event.start, event.length, pitch, _weight(event, kicks), "", string, fret)
        for event, pitch, (string, fret) in zip(events, pitches, positions(pitches), strict=True)
    )
    return Part("bass", pattern, notes)


def _weight(event: _Event, kicks: frozenset[int]) -> float:
    if event.mark == DEAD:
        return weight("o", False)
    return weight("x", event.accent) + (WITH_KICK if event.start in kicks else 0.0)


def _line(chart: Chart, pattern: Pattern, lock: KickLock, harmony: Harmony) -> list[_Event]:
    """The marks of all bars in time, notes held over the bar line joined up."""
    ticks = pattern.grid.line_ticks
    events: list[_Event] = []
    cell, offset = pattern.cells[0], 0
    for index, bar in enumerate(chart.bars):
        if not bar.number:
            short = chart.form.meter.beat_ticks // 2
            length = short if chart.form.ending == "hit" else bar.length
            events.append(_Event(bar.start, length, ROOT, True))
            continue
        offset += pattern.grid.lines
        if index == 0 or offset >= cell.lines:
            cell, offset = lock.cell(bar, index), 0
        for start, end, line in _stretches(bar, offset, harmony, _ties(pattern)):
            placed = list(_placed(cell, ticks, start, end, line))
            if events and _holds(cell, line):
                first = placed[0].start if placed else end
                events[-1] = replace(events[-1], length=first - events[-1].start)
            events += placed
    return events


def _ties(pattern: Pattern) -> bool:
    """Whether the idiom ties over the bar line, as a tumbao does: it has a place of its own
    against the beat, and keeps it whatever the chords do."""
    return any(cell.held for cell in pattern.cells)


def _stretches(
    bar: Bar, offset: int, harmony: Harmony, tied: bool
) -> Iterator[tuple[int, int, int]]:
    """Start and end of each stretch of a bar with the line of the cell that it begins on: a
    chord that begins is played from the cell's beginning, unless the idiom is tied."""
    if tied:
        yield bar.start, bar.end, offset
        return
    for slot in bar.slots:
        begins = harmony.slot_at(slot.start).start == slot.start
        yield slot.start, slot.end, 0 if begins else offset


def _placed(cell: Cell, ticks: int, start: int, end: int, line: int) -> Iterator[_Event]:
    """The strokes of a cell from one of its lines on, in the time from start to end."""
    for stroke in cell.strokes:
        at = start + (stroke.line - line) * ticks
        if start <= at < end:
            length = ticks if stroke.mark == DEAD else stroke.lines * ticks
            yield _Event(at, length, stroke.mark, stroke.accent, stroke.octave)


def _holds(cell: Cell, line: int) -> bool:
    """Whether the note before a line of the cell is held there."""
    if line == 0:
        return cell.held
    return any(s.line < line < s.line + s.lines for s in cell.strokes)


def _plain_in_fills(
    events: list[_Event], fills: tuple[tuple[int, int], ...], harmony: Harmony, beat: int
) -> list[_Event]:
    """The line with only its notes on the beat while the drummer fills, each held for what is
    left out after it; the last of them leads into the chord that follows."""
    starts = [start for start, _ in fills]
    kept: list[_Event] = []
    for event in events:
        place = bisect_right(starts, event.start) - 1
        end = fills[place][1] if place >= 0 else 0
        slot = harmony.slot_at(event.start)
        if event.start >= end or event.start == slot.start:
            kept.append(event)
        elif (event.start - fills[place][0]) % beat or event.mark == DEAD:
            if kept and kept[-1].end == event.start:
                kept[-1] = replace(kept[-1], length=event.end - kept[-1].start)
        elif event.start + beat == end == slot.end and event.mark != WALK:
            kept.append(replace(event, mark=APPROACH, octave=0))
        else:
            kept.append(event)
    return _through_fills(kept, fills, beat)


def _through_fills(
    events: list[_Event], fills: tuple[tuple[int, int], ...], beat: int
) -> list[_Event]:
    """The line with no rest of more than a beat in a fill: what sounds is held, and a fill of
    two beats that it would miss begins on the root."""
    by_start = {event.start: event for event in events}
    starts = sorted(by_start)
    for start, end in fills:
        if end - start < 2 * beat:
            continue
        first, past = bisect_left(starts, start), bisect_left(starts, end)
        before = by_start[starts[first - 1]].end if first else 0
        inside = starts[first:past]
        if start not in by_start and before <= start:
            by_start[start] = _Event(start, beat, ROOT)
            inside = [start, *inside]
        for here, there in pairwise([*inside, end]):
            if there - by_start[here].end > beat // 2:
                by_start[here] = replace(by_start[here], length=there - here)
    return [by_start[start] for start in sorted(by_start)]


def _with_roots(events: list[_Event], harmony: Harmony, beat: int, tied: bool) -> list[_Event]:
    """The line with the root of each chord at its change, unless it is anticipated there."""
    by_start = {event.start: event for event in events}
    starts = sorted(by_start)
    for slot in harmony.changes:
        if slot.start in by_start:
            event = by_start[slot.start]
            if event.mark != WALK:
                by_start[slot.start] = replace(event, mark=ROOT, octave=0)
            continue
        place = bisect_left(starts, slot.start)
        after = starts[place] if place < len(starts) else slot.end
        early = by_start[starts[place - 1]] if place else None
        held = early is not None and early.end > slot.start
        if early and held and _anticipates(early, slot, harmony, beat, tied):
            by_start[early.start] = replace(early, mark=TO_COME, octave=0)
            continue
        end = early.end if early and held else slot.start + beat
        by_start[slot.start] = _Event(slot.start, min(after, end) - slot.start, ROOT)
    ordered = [by_start[start] for start in sorted(by_start)]
    cut = [
        replace(event, length=min(event.length, later.start - event.start))
        for event, later in pairwise(ordered)
    ]
    return [*cut, ordered[-1]]


def _anticipates(early: _Event, slot: Slot, harmony: Harmony, beat: int, tied: bool) -> bool:
    """Whether a note held into a chord can sound its root already."""
    near = slot.start - early.start <= beat
    return (
        near
        and (tied or early.mark == TO_COME)
        and harmony.slot_at(early.start).start != early.start
        and harmony.chord_to_come(early.start) == slot.chord
    )


def _pitches(
    events: list[_Event], harmony: Harmony, chart: Chart, span: tuple[int, int], rng: Random
) -> list[int]:
    """The pitch of each mark: roots near the one before and near the hand, approaches last."""
    low, high = span
    root = last = home = low + 5
    pitches: list[int] = []
    for event in events:
        if event.mark == TO_COME:
            chord = harmony.chord_to_come(event.start)
        else:
            chord = harmony.slot_at(event.start).chord
        tone = chord.lowest.pitch_class
        if event.mark not in (DEAD, APPROACH):
            if not pitches or tone != root % 12:
                root = next_root(tone, root, last, home, high)
            pitch = root + _interval(chord, event.mark, chart.form.key) + 12 * event.octave
            last = _within_reach(pitch, last)
        pitches.append(last)
    key = key_tones(chart.form.key)
    target, onward = _within_reach(pitches[0], last), 0  # what comes after the end of a loop
    for place in reversed(range(len(events))):
        event = events[place]
        if event.mark == APPROACH:
            steps = (-2, -1) if onward > 0 else (1, 2) if onward < 0 else (-2, -1, 1, 2)
            before = pitches[place - 1]
            chord = harmony.slot_at(event.start).chord
            pitches[place] = approach(target, before, steps, chord, key, rng)
            onward = target - pitches[place]
        else:
            onward = 0
        target = pitches[place]
    return _without_wide_leaps(events, pitches)


def _without_wide_leaps(events: list[_Event], pitches: list[int]) -> list[int]:
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


def _interval(chord: Chord, mark: str, key: Key) -> int:
    if mark in (ROOT, TO_COME):
        return 0
    if mark == OCTAVE:
        return 12
    number = int(mark)
    return above_bass(chord, number if fits_key(chord, number, key) else 5)


def _walked(
    events: list[_Event], harmony: Harmony, chart: Chart, span: tuple[int, int], rng: Random
) -> list[int]:
    """The pitches of a walking line; a dead note is stopped where the hand is."""
    sounding = [event for event in events if event.mark != DEAD]
    steps = [_step(event, harmony, chart) for event in sounding]
    loops = chart.ending is None
    following = [*steps[1:], steps[0] if loops else None]
    steps = [
        replace(step, leads_to=later.only) if later else step
        for step, later in zip(steps, following, strict=True)
    ]
    line = iter(walk(steps, *span, key_tones(chart.form.key), loops, rng))
    pitches: list[int] = []
    for event in events:
        pitches.append(pitches[-1] if event.mark == DEAD else next(line))
    return pitches


def _step(event: _Event, harmony: Harmony, chart: Chart) -> Step:
    meter = chart.form.meter
    slot = harmony.slot_at(event.start)
    since = event.start - chart.start
    in_bar = since % meter.bar_ticks
    if in_bar % meter.beat_ticks:
        place = SKIP
    elif in_bar == 0:
        place = DOWNBEAT
    else:
        place = STRONG if 2 * in_bar == meter.bar_ticks else WEAK
    only = -1
    if event.start == slot.start:
        only = slot.chord.lowest.pitch_class
    elif event.mark not in (WALK, APPROACH):
        above = _interval(slot.chord, event.mark, chart.form.key)
        only = (slot.chord.lowest.pitch_class + above) % 12
    return Step(slot.chord, place, since / meter.bar_ticks, only)


def _within_reach(pitch: int, last: int) -> int:
    """The pitch in the octave that the instrument has, within a twelfth of the last note."""
    while pitch < max(BASS_RANGE[0], last - WIDEST):
        pitch += 12
    while pitch > min(BASS_RANGE[1], last + WIDEST):
        pitch -= 12
    return pitch
