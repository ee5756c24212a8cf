"""What players hand on: parts of notes on the grid, and as they are played."""

from __future__ import annotations

from dataclasses import dataclass

from groove.rhythm.patterns import Pattern

PLAYERS = DRUMS, BASS, COMPING = ("drums", "bass", "comping")
CLICK = "click"
PARTS = (*PLAYERS, CLICK)
"""Every part that may be named; a track without a count-in has no click."""

GHOST, STROKE, ACCENT = 0.3, 0.62, 0.8  # weights of the marks o, x and X


@dataclass(frozen=True, slots=True)
class GridNote:
    """A note on the grid: start and length in ticks, MIDI pitch, weight 0 to 1.

    row: the kit voice of a drum stroke. string and fret: where a guitar plays it, strings
    counted from the highest, as players do.
    """

    start: int
    length: int
    pitch: int
    weight: float
    row: str = ""
    string: int = 0
    fret: int = -1


@dataclass(frozen=True, slots=True)
class Part:
    """One player's notes in order of time, and the pattern they were played from.

    fills: stretches, (start, end) in ticks, in which the drummer fills.
    """

    name: str
    pattern: Pattern
    notes: tuple[GridNote, ...]
    fills: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True)
class PlayedNote:
    """A note as played: start and length in ticks, MIDI pitch and velocity.

    string and fret: where a guitar or bass plays it; 0 and -1 on other instruments.
    """

    start: int
    length: int
    pitch: int
    velocity: int
    string: int = 0
    fret: int = -1


@dataclass(frozen=True, slots=True)
class PlayedPart:
    """One player's track: General MIDI program and channel, both from 0, mix and notes.

    volume, pan, reverb: values of MIDI controllers 7, 10 and 91.
    """

    name: str
    program: int
    channel: int
    volume: int
    pan: int
    reverb: int
    notes: tuple[PlayedNote, ...]


def weight(mark: str, accent: bool) -> float:
    """The weight of a mark in box notation."""
    if accent:
        return ACCENT
    return GHOST if mark == "o" else STROKE
