"""The scores of the stems: the tracks of a MIDI file as events at frames.

A stem is played from the MIDI track of its own name; `JOINED` names the tracks that are played in
the stem of another.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import compress
from operator import not_
from typing import TYPE_CHECKING

from groove.band.part import CLICK
from groove.band.tuning import TUNING_NOTE
from groove.errors import GrooveError
from groove.rhythm.kit import DRUM_CHANNEL
from groove.rhythm.meter import TempoMap
from groove.sound.samples import SAMPLE_RATE

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    import mido


DEFAULT_TEMPO = 500_000
"""Microseconds a quarter note until a MIDI file says otherwise (Standard MIDI Files 1.0)."""

JOINED = {TUNING_NOTE: CLICK}
"""Tracks that are played in the stem of another track."""

SUSTAIN, SOSTENUTO, ALL_NOTES_OFF = 64, 66, 123
"""Controller numbers (MIDI 1.0, from memory)."""


@dataclass(frozen=True, slots=True)
class Event:
    """One channel message and the frame at which it takes effect.

    written: the written velocity of a note to which the mix gives another one, else 0.
    """

    frame: int
    message: mido.Message
    written: int = 0

    @property
    def strength(self) -> int:
        """The velocity as it is written, of a note that is struck."""
        return self.written or int(self.message.velocity)


@dataclass(frozen=True)
class Score:
    """A stem's name and its events in order of time; the last ones release every note."""

    name: str
    events: tuple[Event, ...]

    @property
    def end(self) -> int:
        """The frame of the last event."""
        return self.events[-1].frame

    @property
    def strikes(self) -> bool:
        """True if it has strokes on the channel of the drums."""
        return any(
            event.message.type == "note_on" and event.message.channel == DRUM_CHANNEL
            for event in self.events
        )

    @property
    def struck_and_others(self) -> tuple[Score, Score]:
        """Its events on the channel of the drums, and all others."""
        struck = [event.message.channel == DRUM_CHANNEL for event in self.events]
        both = (tuple(compress(self.events, which)) for which in (struck, map(not_, struck)))
        return Score(self.name, next(both)), Score(self.name, next(both))

    @property
    def notes(self) -> int:
        """The number of notes that are struck."""
        return sum(event.message.type == "note_on" for event in self.events)


def scores(midi: mido.MidiFile) -> tuple[Score, ...]:
    """A score for each stem of `midi`, in the order of its tracks.

    Events that make no sound of their own (texts, tempo, system exclusive) are left out, and so is
    a track without notes. Pedals up and notes off on every channel in use end each score. Raises
    `GrooveError` where there is nothing to play.
    """
    tempo = tempo_map(midi)
    events: dict[str, list[Event]] = {}
    for name, track in _played(midi):
        events.setdefault(name, []).extend(_events(track, tempo))
    if not events:
        raise GrooveError("there is nothing to play: the MIDI has no notes")
    return tuple(Score(name, _ended(played)) for name, played in events.items())


def parts_of(midi: mido.MidiFile) -> tuple[str, ...]:
    """The names of the stems of `midi`."""
    return tuple(dict.fromkeys(name for name, _ in _played(midi)))


def _played(midi: mido.MidiFile) -> Iterator[tuple[str, mido.MidiTrack]]:
    """Every track with notes, and the name of the stem that it is played in."""
    for number, track in enumerate(midi.tracks):
        if any(message.type == "note_on" for message in track):
            name = track.name or f"track {number}"
            yield JOINED.get(name, name), track


def first_notes(events: Iterable[Event]) -> tuple[tuple[int, int, int], ...]:
    """Channel, program and note of the first note on each program that is played, the channels'
    first programs last, so that they are left with those."""
    program: dict[int, int] = {}
    found: dict[tuple[int, int], int] = {}
    for message in (event.message for event in events):
        if message.type == "program_change":
            program[message.channel] = message.program
        elif message.type == "note_on" and message.velocity:
            key = message.channel, program.setdefault(message.channel, 0)
            found.setdefault(key, message.note)
    return tuple((*key, note) for key, note in reversed(found.items()))


def tempo_map(midi: mido.MidiFile) -> TempoMap:
    """The tempo events of all tracks of a MIDI file."""
    changes = {0: DEFAULT_TEMPO}
    for track in midi.tracks:
        changes |= {tick: message.tempo for tick, message in _timed(track, "set_tempo")}
    quarter = midi.ticks_per_beat
    tempi = ((tick, 60_000_000 / changes[tick], quarter) for tick in sorted(changes))
    return TempoMap(tuple(tempi))


def frame_at(tempo: TempoMap, tick: int) -> int:
    """The frame nearest to a tick."""
    return round(tempo.seconds(tick) * SAMPLE_RATE)


def markers(midi: mido.MidiFile) -> tuple[tuple[int, str], ...]:
    """The frame and the text of every marker, in order of time."""
    tempo = tempo_map(midi)
    return tuple(
        sorted(
            (frame_at(tempo, tick), message.text)
            for track in midi.tracks
            for tick, message in _timed(track, "marker")
        )
    )


def _timed(
    track: Iterable[mido.Message], kind: str | None = None
) -> Iterator[tuple[int, mido.Message]]:
    """The messages of a track, all or those of one type, each with its tick."""
    tick = 0
    for message in track:
        tick += message.time
        if kind in (None, message.type):
            yield tick, message


def _events(track: Iterable[mido.Message], tempo: TempoMap) -> list[Event]:
    """The channel messages of a track."""
    return [
        Event(frame_at(tempo, tick), message)
        for tick, message in _timed(track)
        if not message.is_meta and hasattr(message, "channel")
    ]


def _ended(events: list[Event]) -> tuple[Event, ...]:
    """The events in order of time, and after them those that release every note."""
    import mido

    ordered = sorted(events, key=lambda event: event.frame)
    return (
        *ordered,
        *(
            Event(
                ordered[-1].frame,
                mido.Message("control_change", channel=channel, control=control, value=0),
            )
            for channel in sorted({event.message.channel for event in events})
            for control in (SUSTAIN, SOSTENUTO, ALL_NOTES_OFF)
        ),
    )
