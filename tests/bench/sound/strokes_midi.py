"""MIDI files of single notes, to measure one thing at a time."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import mido

TICKS = 1000
"""A tick is half a millisecond, at 120 quarter notes a minute."""

CHANNELS = {"drums": 9, "bass": 0, "comping": 1}
VOLUME, PLACE, SEND = 7, 10, 91
"""Controllers, and what patterns have as a rule: 114, the middle, 26 for the reverb."""


@dataclass(frozen=True)
class Note:
    """A note: its start and length in seconds, its MIDI note and velocity."""

    start: float
    seconds: float
    pitch: int
    velocity: int


def write(
    path: Path, part: str, program: int, notes: Iterable[Note], controls: Mapping[int, int]
) -> None:
    """Write the notes of one part; controls: the values of controllers."""
    channel = CHANNELS[part]
    midi = mido.MidiFile(ticks_per_beat=TICKS)
    midi.add_track().append(mido.MetaMessage("set_tempo", tempo=500_000))
    track = midi.add_track(part)
    track.append(mido.Message("program_change", channel=channel, program=program))
    for control, value in controls.items():
        track.append(mido.Message("control_change", channel=channel, control=control, value=value))
    timed = sorted(
        event
        for note in notes
        for event in (
            (round(note.start * 2000), 1, note.pitch, note.velocity),
            (round((note.start + note.seconds) * 2000), 0, note.pitch, 0),
        )
    )
    at = 0
    for tick, _, pitch, velocity in timed:
        track.append(
            mido.Message("note_on", channel=channel, note=pitch, velocity=velocity, time=tick - at)
        )
        at = tick
    path.parent.mkdir(parents=True, exist_ok=True)
    midi.save(path)


def even(
    pitches: Sequence[int], velocity: int, apart: float, seconds: float, first: float = 0.5
) -> list[Note]:
    """Notes one after another at one velocity."""
    return [
        Note(first + number * apart, seconds, pitch, velocity)
        for number, pitch in enumerate(pitches)
    ]
