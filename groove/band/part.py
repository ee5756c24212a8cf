"""Parts: notes on the grid, and the same notes as they are played."""

from __future__ import annotations

from dataclasses import dataclass

from groove.rhythm.box_notation import ACCENT, GHOST, STROKE

PLAYERS = DRUMS, BASS, COMPING = ("drums", "bass", "comping")
CLICK = "click"
PARTS = (*PLAYERS, CLICK)
"""Every part that may be named; a track without a count-in has no click."""


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
    """One player's notes in order of time.

    fills: stretches, (start, end) in ticks, in which the drummer fills.
    """

    name: str
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
