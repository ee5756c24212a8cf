"""The pitches of a bass line: roots in position, degrees of the chord, approaches."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice, pairwise
from random import Random

from groove.band.bass.line_note import (
    APPROACH,
    DEAD,
    FIFTH_TO_COME,
    LEADING,
    ROOT,
    TO_COME,
    WALK,
    BassNote,
)
from groove.band.bass.walking import DOWNBEAT, LONG, SKIP, STRONG, WEAK, Step, walk
from groove.band.changes import Changes
from groove.band.degrees import (
    OCTAVE,
    WIDEST,
    above_bass,
    approach,
    degree_in_key,
    key_tones,
    next_root,
)
from groove.form.chart import Chart, Slot
from groove.rhythm.box_notation import exact_interval
from groove.rhythm.kit import BASS_RANGE
from groove.theory.keys import Key

OCTAVE_UP = 12  # semitones
EASY_LEAP = 7  # semitones to notes that are moved away from an octave leap
FARTHEST_BACK = 8  # notes of a chord that may be moved for the next root
LONGEST_RUN = 12  # notes of one pitch in a row, but over a pedal note


def line_pitches(
    events: list[BassNote], changes: Changes, chart: Chart, span: tuple[int, int], rng: Random
) -> list[int]:
    """The MIDI pitch of each mark: roots near the one before and in position, approaches last.

    No two neighbours are more than an octave apart. span: lowest and highest MIDI note for roots.
    rng: the bassist's own.
    """
    low, high = span
    root = last = home = low + 5
    pitches: list[int] = []
    for event in events:
        if event.mark == TO_COME:
            slot = changes.slot_to_come(event.start)
        else:
            slot = changes.slot_at(event.start)
        tone = slot.lowest.pitch_class
        if event.mark != DEAD and event.mark not in LEADING:
            if not pitches or tone != root % 12:
                root = next_root(tone, root, last, home, high)
                root = _come_near(pitches, events, root, high)
                last = pitches[-1] if pitches else last
            above = _interval(slot, event.mark, chart.key_at(event.start))
            last = _within_reach(root + above + 12 * event.octave, last)
        pitches.append(last)
    target = arrival = _within_reach(pitches[0], last)  # the note after the end of a loop
    onward = 0
    for place in reversed(range(len(events))):
        event, before = events[place], pitches[place - 1]
        if event.mark == DEAD:
            continue
        if event.mark == APPROACH:
            steps = (-2, -1) if onward > 0 else (1, 2) if onward < 0 else (-2, -1, 1, 2)
            chord = changes.slot_at(event.start).chord
            key = key_tones(chart.key_at(event.start))
            chromatic = not onward or not chord.quality.is_minor
            pitches[place] = approach(target, before, steps, chord, key, rng, chromatic)
            onward = target - pitches[place]
        else:
            if event.mark == FIFTH_TO_COME:
                pitches[place] = _fifth(arrival, before)
            onward = 0
        target = pitches[place]
        arrival = arrival if event.mark in LEADING else target
    for place, event in enumerate(events):
        if event.mark == DEAD and place:
            pitches[place] = pitches[place - 1]
    return _without_long_runs(events, pitches, changes)


def _come_near(pitches: list[int], events: list[BassNote], root: int, high: int) -> int:
    """The next root, no octave or more from the line if that can be.

    The last notes of the chord before are moved, in place, by an octave where they join the line
    by a fifth; else the root is where the line has gone; else they leap.
    """
    own = (n for n in reversed(range(len(pitches))) if events[n].mark not in (DEAD, *LEADING))
    back = list(islice(own, FARTHEST_BACK))  # places of the last notes, the last one first
    if not back or abs(root - pitches[back[0]]) < WIDEST:
        return root
    last = pitches[back[0]]
    octave = -OCTAVE_UP if root < last else OCTAVE_UP
    if _moved(pitches, events, back, octave, EASY_LEAP):
        return root
    if abs(root - octave - last) < WIDEST and BASS_RANGE[0] <= root - octave <= high:
        return root - octave
    if abs(root - last) > WIDEST:
        _moved(pitches, events, back, octave, WIDEST)
    return root


def _moved(
    pitches: list[int], events: list[BassNote], back: list[int], octave: int, most: int
) -> bool:
    """Whether the last notes could be moved by an octave so that they join the line by `most`
    semitones, there where that is nearest; back: their places, the last one first."""
    leaps: dict[int, int] = {}
    for place, before in pairwise(back):
        moved = pitches[place] + octave
        on_neck = BASS_RANGE[0] <= moved <= BASS_RANGE[1]
        if not on_neck or events[place].mark in (ROOT, TO_COME):
            break
        leaps[place] = abs(moved - pitches[before])
    if not leaps or min(leaps.values()) > most:
        return False
    place = min(leaps, key=lambda place: leaps[place])
    pitches[place:] = [pitch + octave for pitch in pitches[place:]]
    return True


def _fifth(target: int, before: int) -> int:
    """The fifth of a root to come: the one below it, or the one above where that is nearer to the
    note before, or the only one that the instrument has."""
    below, above = target - 5, target + 7
    if below < BASS_RANGE[0] or abs(below - before) > WIDEST:
        return above
    return above if abs(above - before) < abs(below - before) else below


def _without_long_runs(events: list[BassNote], pitches: list[int], changes: Changes) -> list[int]:
    """The line with another tone of the chord, fifth or octave, wherever one pitch would be struck
    more than LONGEST_RUN times running; under a pedal note that is meant."""
    line, run = list(pitches), 0
    for place, event in enumerate(events):
        run = run + 1 if place and line[place] == line[place - 1] else 1
        slot, last = changes.slot_at(event.start), place + 1 == len(line)
        after = line[place] if last else line[place + 1]
        later = events[place if last else place + 1].start
        most = LONGEST_RUN - (changes.slot_at(later).start == later)
        if run <= most or slot.pedal or event.start == slot.start:
            continue
        fifth = above_bass(slot.chord, 5) or OCTAVE_UP
        found = [line[place] + step for step in (fifth - OCTAVE_UP, fifth, OCTAVE_UP)]
        line[place] = min(found, key=lambda pitch: _misfit(pitch, line[place], after))
        run = 1
    return line


def _misfit(pitch: int, before: int, after: int) -> tuple[bool, int]:
    """The faults of a pitch between two others, the best first when sorted."""
    low, high = BASS_RANGE
    unplayable = not low <= pitch <= high or abs(pitch - after) > WIDEST
    return unplayable, abs(pitch - before) + abs(pitch - after)


def _interval(slot: Slot, mark: str, key: Key) -> int:
    """Semitones from the bass of a chord up to a mark; over a pedal note its octave at most."""
    if mark == OCTAVE:
        return OCTAVE_UP
    if mark in (ROOT, TO_COME) or slot.pedal:
        return 0
    exact = exact_interval(mark)
    if exact is not None:
        return (slot.chord.root.pitch_class + exact - slot.lowest.pitch_class) % OCTAVE_UP
    number = degree_in_key(slot.chord, int(mark), key)
    if number == 1:
        return (slot.chord.root.pitch_class - slot.lowest.pitch_class) % OCTAVE_UP
    return above_bass(slot.chord, number)


def walked_pitches(
    events: list[BassNote], changes: Changes, chart: Chart, span: tuple[int, int], rng: Random
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


def _step(event: BassNote, changes: Changes, chart: Chart) -> Step:
    bar = chart.bar_at(event.start)
    meter, slot, key = bar.meter, changes.slot_at(event.start), bar.key
    in_bar = (event.start - bar.start) % bar.length
    if event.length > meter.beat_ticks:
        place = LONG
    elif in_bar not in meter.beat_starts:
        place = SKIP
    elif in_bar == 0:
        place = DOWNBEAT
    else:
        place = STRONG if in_bar in meter.group_starts else WEAK
    only = -1
    if event.mark == TO_COME:
        only = changes.slot_to_come(event.start).lowest.pitch_class
    elif event.start == slot.start:
        only = slot.lowest.pitch_class
    elif event.mark not in (WALK, *LEADING):
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
    """The pitch in the octave that the instrument has, within an octave of the last note."""
    while pitch < max(BASS_RANGE[0], last - WIDEST):
        pitch += 12
    while pitch > min(BASS_RANGE[1], last + WIDEST):
        pitch -= 12
    return pitch
