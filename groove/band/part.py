"""Parts: notes on the grid, and the same notes as they are played."""

from __future__ import annotations

from dataclasses import dataclass

from groove.form.chart import Bar, Chart
from groove.rhythm.box_notation import ACCENT, GHOST, STROKE, Grid
from groove.rhythm.patterns import BassPattern, CompingPattern

PLAYERS = DRUMS, BASS, COMPING, GUITAR, KEYS, PERCUSSION, RIFF, MELODY, SOLO = (
    "drums", "bass", "comping", "guitar", "keys", "percussion", "riff", "melody", "solo",
)  # fmt: skip
TRIO = (DRUMS, BASS, COMPING)
STRUCK = (DRUMS, PERCUSSION)
"""The players on the channel of the drum kit."""
CHORDAL = (COMPING, GUITAR, KEYS)
"""The one player of chords, or the two where the road has a guitar and keys."""
LINES = (RIFF, MELODY, SOLO)
"""The players of single lines, which come to the band ready made."""
LEFT = "left"
"""The row of what a left hand plays on the keys."""
CLICK = "click"
PARTS = (*PLAYERS, CLICK)
"""Every part that may be named; a track without a count-in has no click."""


@dataclass(frozen=True, slots=True)
class Gesture:
    """The moves of a hand on a string beside the stroke; distances in semitones from the note's
    pitch.

    bend: how far the string is bent after the stroke; release: whether it comes back within the
    note. comes, goes: from where it slides into the note, and to where it slides at its end.
    shaken: whether the note has vibrato where it is long. joined: how it follows the note before
    it without a gap and without a stroke, ``hammer``, ``pull`` or ``slide``; empty for a stroke.
    """

    bend: float = 0.0
    release: bool = False
    comes: int = 0
    goes: int = 0
    shaken: bool = False
    joined: str = ""


PLAIN = Gesture()
"""A stroke and nothing else."""


@dataclass(frozen=True, slots=True)
class GridNote:
    """A note on the grid: start and length in ticks, MIDI pitch, weight 0 to 1.

    row: the kit voice of a drum stroke, and LEFT for a left hand on the keys. graces: soft strokes
    of the same voice just before it, one of a flam, two of a drag; the touch places and weighs
    them. string and fret: where a guitar plays it, strings counted from the highest, as players do.
    gesture: of a soloist's hand.
    """

    start: int
    length: int
    pitch: int
    weight: float
    row: str = ""
    string: int = 0
    fret: int = -1
    graces: int = 0
    gesture: Gesture = PLAIN


Control = tuple[int, int, int]
"""Tick, number of a MIDI controller, and its value."""
BEND = 128
"""In the place of a controller's number: the pitch bend, its value -8192 to 8191."""
BEND_RANGE = 2
"""Semitones to either end of the pitch bend."""


@dataclass(frozen=True, slots=True)
class Part:
    """One player's notes in order of time.

    fills: stretches, (start, end) in ticks, in which the drummer fills. capo: the fret of a
    guitarist's capo, 0 for none; frets of notes are counted from the nut. controls: what is done
    beside the notes, in order: tick, number of a MIDI controller, value.
    """

    name: str
    notes: tuple[GridNote, ...]
    fills: tuple[tuple[int, int], ...] = ()
    capo: int = 0
    controls: tuple[Control, ...] = ()


@dataclass(frozen=True, slots=True)
class PlayedNote:
    """A note as played: start and length in ticks, MIDI pitch and velocity.

    string and fret: where a guitar or bass plays it; 0 and -1 on other instruments. grid: its tick
    on the grid as the form swings it, from which touch has moved it; -1 where there is none.
    gesture: of a soloist's hand, which the part's controls carry out.
    """

    start: int
    length: int
    pitch: int
    velocity: int
    string: int = 0
    fret: int = -1
    grid: int = -1
    gesture: Gesture = PLAIN


@dataclass(frozen=True, slots=True)
class PlayedPart:
    """One player's track: General MIDI program and channel, both from 0, mix and notes.

    volume, pan, reverb: values of MIDI controllers 7, 10 and 91. programs: the programs that follow
    the first, each with the tick from which on it plays. controls: other controllers in time.
    """

    name: str
    program: int
    channel: int
    volume: int
    pan: int
    reverb: int
    notes: tuple[PlayedNote, ...]
    programs: tuple[tuple[int, int], ...] = ()
    controls: tuple[Control, ...] = ()


def pattern_of(name: str, bar: Bar) -> BassPattern | CompingPattern | None:
    """The pattern that bassist or comper plays in a bar; None where the player has none."""
    if name == BASS:
        return bar.bass
    if name == COMPING:
        return bar.comping[0]
    return next((pattern for pattern in bar.comping if pattern.voicing == name), None)


def grid_of(name: str, chart: Chart, tick: int) -> Grid:
    """The grid of a part at a tick: its pattern's; of a single line eighths, or thirds of beats
    where a note lies on one."""
    bar = chart.bar_at(tick)
    if name in STRUCK:
        return bar.drums.grid
    if name not in LINES:
        return (pattern_of(name, bar) or bar.comping[0]).grid
    meter, beat = bar.meter, bar.meter.beat_ticks
    thirds = bar.setting.swing_ratio != 1 and chart.into_beat(tick) in (beat // 3, beat * 2 // 3)
    return Grid(meter, meter.bar_ticks * (3 if thirds else 2) // beat, bar.setting.feel)


def weight(mark: str, accent: bool) -> float:
    """The weight of a mark in box notation."""
    if accent:
        return ACCENT
    return GHOST if mark == "o" else STROKE
