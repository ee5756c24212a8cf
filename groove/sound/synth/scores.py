"""What each stem has to play and when: the tracks of a MIDI file as events at frames.

A stem is played from the MIDI track of its own name; `JOINED` says which tracks go into another's.
"""

from __future__ import annotations

from bisect import bisect
from dataclasses import dataclass
from typing import TYPE_CHECKING

from groove.errors import GrooveError
from groove.rhythm.kit import DRUM_CHANNEL
from groove.sound.samples import GRAIN, SAMPLE_RATE

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    import mido


DEFAULT_TEMPO = 500_000
"""Microseconds a quarter note until a MIDI file says otherwise (Standard MIDI Files 1.0)."""

JOINED = {"tuning note": "click"}
"""Tracks that are heard in the stem of another track."""

DRUM_BANK = 128
"""Where a soundfont keeps its drum kits (SoundFont specification 2.01, from memory)."""

SUSTAIN, SOSTENUTO, ALL_NOTES_OFF = 64, 66, 123
"""Controller numbers (MIDI 1.0, from memory)."""


@dataclass(frozen=True, slots=True)
class Event:
    """One channel message and the frame, a whole multiple of `GRAIN`, at which it takes effect."""

    frame: int
    message: mido.Message


@dataclass(frozen=True)
class Score:
    """A stem's name and its events in order of time; the last ones let go of everything."""

    name: str
    events: tuple[Event, ...]

    @property
    def end(self) -> int:
        """The frame of the last event."""
        return self.events[-1].frame

    @property
    def notes(self) -> int:
        """How many notes are struck."""
        return sum(event.message.type == "note_on" for event in self.events)


def scores(midi: mido.MidiFile) -> tuple[Score, ...]:
    """A score for each stem of `midi`, in the order of its tracks.

    What makes no sound of its own (texts, tempo, system exclusive) is left out, and so is a track
    without notes. Pedals up and notes off on every channel in use end each score. Raises
    `GrooveError` where there is nothing to play.
    """
    tempo = TempoMap(midi)
    events: dict[str, list[Event]] = {}
    for number, track in enumerate(midi.tracks):
        name = track.name or f"track {number}"
        played = _events(track, tempo)
        if any(event.message.type == "note_on" for event in played):
            events.setdefault(JOINED.get(name, name), []).extend(played)
    if not events:
        raise GrooveError("there is nothing to play: the MIDI has no notes")
    return tuple(Score(name, _ended(played)) for name, played in events.items())


def parts_of(midi: mido.MidiFile) -> tuple[str, ...]:
    """The names of the stems of `midi`."""
    return tuple(score.name for score in scores(midi))


def missing_programs(
    scores: Iterable[Score], presets: Collection[tuple[int, int]]
) -> tuple[str, ...]:
    """The programs and drum kits that are played and are not in `presets`, counted from 1.

    presets: (bank, program) of what a soundfont has. In place of one that is missing the
    synthesiser plays the first there is, or nothing.
    """
    missing: dict[str, None] = {}
    for score in scores:
        program = dict.fromkeys(range(16), 0)
        for message in (event.message for event in score.events):
            if message.type == "program_change":
                program[message.channel] = message.program
            elif message.type == "note_on" and message.velocity > 0:
                drums = message.channel == DRUM_CHANNEL
                number = program[message.channel]
                if (DRUM_BANK if drums else 0, number) not in presets:
                    missing[f"{'drum kit' if drums else 'program'} {number + 1}"] = None
    return tuple(missing)


class TempoMap:
    """The tempo events of all tracks of a MIDI file, and with them the time of any tick."""

    def __init__(self, midi: mido.MidiFile) -> None:
        changes = {0: DEFAULT_TEMPO}
        for track in midi.tracks:
            tick = 0
            for message in track:
                tick += message.time
                if message.type == "set_tempo":
                    changes[tick] = message.tempo
        self._ticks = sorted(changes)
        self._starts: list[float] = []
        self._lengths: list[float] = []
        before, seconds, length = 0, 0.0, 0.0
        for tick in self._ticks:
            seconds += (tick - before) * length
            before, length = tick, changes[tick] / 1e6 / midi.ticks_per_beat
            self._starts.append(seconds)
            self._lengths.append(length)

    def seconds(self, tick: int) -> float:
        """The time of a tick (0 or later) in seconds from the start."""
        which = bisect(self._ticks, tick) - 1
        return self._starts[which] + (tick - self._ticks[which]) * self._lengths[which]

    def frame(self, tick: int) -> int:
        """The frame nearest to a tick."""
        return round(self.seconds(tick) * SAMPLE_RATE)


def markers(midi: mido.MidiFile) -> tuple[tuple[int, str], ...]:
    """The frame and the text of every marker, in order of time."""
    tempo = TempoMap(midi)
    found = []
    for track in midi.tracks:
        tick = 0
        for message in track:
            tick += message.time
            if message.type == "marker":
                found.append((tempo.frame(tick), message.text))
    return tuple(sorted(found))


def _events(track: Iterable[mido.Message], tempo: TempoMap) -> list[Event]:
    """The channel messages of a track."""
    events, tick = [], 0
    for message in track:
        tick += message.time
        if not message.is_meta and hasattr(message, "channel"):
            at = tempo.seconds(tick) * SAMPLE_RATE
            events.append(Event(GRAIN * round(at / GRAIN), message))
    return events


def _ended(events: list[Event]) -> tuple[Event, ...]:
    """The events in order of time, and after them what lets go of everything."""
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
