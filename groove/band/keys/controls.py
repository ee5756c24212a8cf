"""The controllers of a keys player: the sustain pedal, an organ's swell and rotary speaker.

Returns MIDI controllers in time: 64 the sustain pedal, 11 expression, 1 modulation (General MIDI
System Level 1, from memory). The pedal is lifted as a new chord is struck and pressed again just
after it; it is up in rests. Figures: ``patterns/keys.toml``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from groove import library
from groove.band.changes import Changes
from groove.band.part import KEYS, Control, GridNote, pattern_of
from groove.form.chart import Bar, Chart
from groove.rhythm.patterns import CompingPattern

SUSTAIN, SWELL, ROTARY = 64, 11, 1  # numbers of MIDI controllers
DOWN, UP = 127, 0
RAMP = 6  # steps in which a held chord swells,
HELD = 2  # from so many beats on

Strokes = list[tuple[int, int]]
"""Start and end of the notes that are struck together."""


def keys_controls(
    notes: Sequence[GridNote], chart: Chart, changes: Changes, name: str
) -> tuple[Control, ...]:
    """The controllers of a part of chords in order of time; none for a guitar.

    name: comping, guitar or keys.
    """
    patterns = {id(bar): pattern_of(name, bar) for bar in chart.bars}
    wanted = [
        pattern
        for pattern in patterns.values()
        if isinstance(pattern, CompingPattern) and pattern.voicing == KEYS
    ]
    if not any(p.sustain or p.swell or p.rotary for p in wanted):
        return ()
    if chart.form.is_plain(name, KEYS):
        return ()
    data = library.table("keys")
    strokes: Strokes = []
    for start, group in groupby(notes, key=lambda note: note.start):
        strokes.append((start, max(note.start + note.length for note in group)))
    found = [
        *_pedal(strokes, chart, changes, name, data["pedal"]["catch"]),
        *_swell(strokes, chart, name, data["swell"]),
        *_rotary(strokes, chart, name, data["rotary"]),
    ]
    return tuple(sorted(found, key=lambda control: control[:2]))


def _pattern(chart: Chart, name: str, tick: int) -> CompingPattern | None:
    pattern = pattern_of(name, chart.bar_at(tick))
    return pattern if isinstance(pattern, CompingPattern) else None


def _pedal(
    strokes: Strokes, chart: Chart, changes: Changes, name: str, catch: float
) -> Iterator[Control]:
    """The sustain pedal: changed with each chord and bar, up where nothing sounds.

    catch: beats after the stroke at which it goes down.
    """
    before: tuple[int, int] | None = None
    down = False
    for (start, end), following in zip(strokes, [*strokes[1:], None], strict=True):
        bar = chart.bar_at(start)
        pattern = _pattern(chart, name, start)
        if pattern is None or not pattern.sustain:
            if down:
                yield start, SUSTAIN, UP
            down, before = False, None
            continue
        here = (changes.slot_at(start).start, bar.start)
        if here != before or not down:
            if down:
                yield start, SUSTAIN, UP
            at = start + round(catch * bar.meter.beat_ticks)
            if at < end:
                yield at, SUSTAIN, DOWN
                down = True
        before = here
        if down and (following is None or following[0] > end):
            yield end, SUSTAIN, UP
            down = False


def _swell(strokes: Strokes, chart: Chart, name: str, data: dict[str, Any]) -> Iterator[Control]:
    """The swell: louder through a phrase and with the band's level; a held chord grows."""
    last = 0
    for start, end in strokes:
        bar = chart.bar_at(start)
        pattern = _pattern(chart, name, start)
        if pattern is None or not pattern.swell:
            continue
        usual = data["bars"][(bar.in_section - 1) % len(data["bars"])]
        full = min(DOWN, round(usual + data["level"] * (bar.intensity - 2)))
        if end - start >= HELD * bar.meter.beat_ticks:
            for step in range(RAMP + 1):
                value = full - data["below"] + data["below"] * step // RAMP
                yield start + (end - start) * step // (RAMP + 1), SWELL, value
            last = full
        elif full != last:
            yield start, SWELL, full
            last = full


def _rotary(strokes: Strokes, chart: Chart, name: str, data: dict[str, Any]) -> Iterator[Control]:
    """The rotary speaker: fast where a phrase leads on or the band is loud, else slow."""
    last = -1
    for start, _ in strokes:
        bar = chart.bar_at(start)
        pattern = _pattern(chart, name, start)
        if pattern is None or not pattern.rotary:
            continue
        value = data["fast"] if _is_fast(bar, data) else data["slow"]
        if value != last:
            yield start, ROTARY, value
            last = value


def _is_fast(bar: Bar, data: dict[str, Any]) -> bool:
    return bool(bar.turn) or bar.intensity >= data["from_level"]
