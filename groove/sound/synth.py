"""Sound from MIDI: a General MIDI synthesiser that fills blocks of samples as fast as it can.

The synthesiser is a native library, reached through its Python binding. No audio device is ever
opened. The MIDI in memory is the only musical input, so its tempo changes count. The same MIDI
and soundfont give the same samples, to the bit, with the same version of the library.

Samples are stereo float32 arrays of shape (frames, 2); full scale is -1 to 1, and what is louder
goes beyond that unharmed: nothing clips here.
"""

from __future__ import annotations

import contextlib
import ctypes
import importlib
import io
import math
import os
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

import numpy as np
from numpy.typing import NDArray

from groove.band.kit import DRUM_CHANNEL
from groove.errors import GrooveError

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import mido

    from groove.sound.soundfonts import Soundfont

Samples = NDArray[np.float32]

SAMPLE_RATE = 44_100
"""Frames per second."""

GRAIN = 64
"""The library renders in runs of this many frames and starts notes only between two of them, so
a note sounds within half a run (0.73 ms) of its time."""

BLOCK = 256 * GRAIN
"""Frames in each block that `render` yields: 0.37 s."""

QUIET = 10 ** (-70 / 20)
"""Below this share of its peak (-70 dB) a track counts as silent."""

LONGEST_TAIL_SECONDS = 12.0

SETTINGS: dict[str, int | float] = {
    "synth.polyphony": 256,
    "synth.cpu-cores": 1,
    "synth.threadsafe-api": 0,
    "synth.lock-memory": 0,
    "synth.dynamic-sample-loading": 1,
    "synth.chorus.active": 0,
    "synth.reverb.active": 1,
    "synth.reverb.room-size": 0.3,
    "synth.reverb.damp": 0.3,
    "synth.reverb.width": 0.6,
    "synth.reverb.level": 0.6,
}
"""A small, dry room that binds the parts together. One core, because several add the voices up
in an order that changes from run to run. Only the samples of the programs in use are read."""

GAIN = 0.2

DRUM_BANK = 128
"""Where a soundfont keeps its drum kits (SoundFont specification 2.01, from memory)."""

DEFAULT_TEMPO = 500_000
"""Microseconds a quarter note until a MIDI file says otherwise (Standard MIDI Files 1.0)."""

SUSTAIN, SOSTENUTO, ALL_NOTES_OFF = 64, 66, 123
"""Controller numbers (MIDI 1.0, from memory)."""

NO_LIBRARY = (
    "the synthesiser library is not installed (Debian: sudo apt-get install libfluidsynth3; "
    "macOS: brew install fluid-synth)"
)

_LOG_LEVELS = range(5)
_LOGGED_AS_ERROR = (0, 1)
_LogFunction = ctypes.CFUNCTYPE(None, ctypes.c_int, ctypes.c_char_p, ctypes.c_void_p)


class Synth:
    """One synthesiser with one soundfont in it; a context manager that frees both at its end.

    Raises `GrooveError` where the library is missing or cannot load the soundfont.
    """

    def __init__(self, soundfont: Soundfont) -> None:
        self.soundfont = soundfont
        self._api = _binding()
        self._write = _write_function(self._api)
        self._complaints: list[str] = []
        self._log = _LogFunction(self._complain)
        _route_log(self._api, ctypes.cast(self._log, ctypes.c_void_p))
        self._synth = self._api.Synth(gain=GAIN, samplerate=SAMPLE_RATE, channels=16, **SETTINGS)
        with _quiet_stderr():
            self._font: int = self._api.fluid_synth_sfload(
                self._synth.synth, os.fsencode(soundfont.path), 1
            )
        if self._font < 0:
            self.close()
            reason = self._complaints[0] if self._complaints else "no reason was given"
            raise GrooveError(f"soundfont {soundfont.path}: it cannot be loaded: {reason}")

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.close()

    def close(self) -> None:
        """Free the synthesiser and its samples."""
        self._synth.delete()
        _route_log(self._api, None)

    def has_program(self, program: int, *, drums: bool) -> bool:
        """Whether the soundfont has this General MIDI program (0 to 127), or this drum kit."""
        font = self._api.fluid_synth_get_sfont_by_id(self._synth.synth, self._font)
        bank = DRUM_BANK if drums else 0
        return bool(self._api.fluid_sfont_get_preset(font, bank, program))

    def send(self, message: mido.Message) -> None:
        """Carry out one channel message; it sounds from the next frame read."""
        channel = message.channel
        match message.type:
            case "note_on":
                self._synth.noteon(channel, message.note, message.velocity)
            case "note_off":
                self._synth.noteoff(channel, message.note)
            case "control_change":
                self._synth.cc(channel, message.control, message.value)
            case "program_change":
                self._synth.program_change(channel, message.program)
            case "pitchwheel":
                self._synth.pitch_bend(channel, message.pitch)

    def fill(self, block: Samples, first: int, last: int) -> None:
        """Play on, into the frames `first` up to but not including `last` of `block`.

        Raises `GrooveError` where the library met an error, such as a damaged sample.
        """
        if last > first:
            ring = block.ctypes.data
            self._write(self._synth.synth, last - first, ring, 2 * first, 2, ring, 2 * first + 1, 2)
        if self._complaints:
            raise GrooveError(
                f"soundfont {self.soundfont.path}: damaged: a sound cannot be read: "
                f"{self._complaints[0]}"
            )

    def _complain(self, _level: int, text: bytes, _data: object) -> None:
        self._complaints.append(text.decode("utf-8", "replace"))


@dataclass(frozen=True)
class Event:
    """One channel message and the frame, a whole multiple of `GRAIN`, at which it takes effect."""

    frame: int
    message: mido.Message


def timeline(midi: mido.MidiFile) -> list[Event]:
    """The channel messages of all tracks in order of time, at the tempo that `midi` has there.

    What makes no sound of its own (texts, tempo, system exclusive) is left out. Pedals up and
    notes off on every channel in use end the list.
    """
    import mido

    seconds, tempo = 0.0, DEFAULT_TEMPO
    events: list[Event] = []
    for message in mido.merge_tracks(midi.tracks):
        seconds += mido.tick2second(message.time, midi.ticks_per_beat, tempo)
        if message.type == "set_tempo":
            tempo = message.tempo
        elif not message.is_meta and hasattr(message, "channel"):
            events.append(Event(GRAIN * round(seconds * SAMPLE_RATE / GRAIN), message))
    events += [
        Event(
            events[-1].frame,
            mido.Message("control_change", channel=channel, control=control, value=0),
        )
        for channel in sorted({event.message.channel for event in events})
        for control in (SUSTAIN, SOSTENUTO, ALL_NOTES_OFF)
    ]
    return events


def render(events: Sequence[Event], synth: Synth) -> Iterator[Samples]:
    """Play `events` (at least one) from frame 0 until the last sound has died away.

    Yields blocks of `BLOCK` frames, each a new array. The playing goes on past the last event
    until a whole block stays under -70 dB of the loudest sample so far, or for 12 seconds.
    """
    longest = events[-1].frame + LONGEST_TAIL_SECONDS * SAMPLE_RATE
    at, played, peak = 0, 0, 0.0
    ringing_out = False
    while True:
        block = np.empty((BLOCK, 2), dtype=np.float32)
        filled = 0
        while played < len(events) and events[played].frame < at + BLOCK:
            synth.fill(block, filled, events[played].frame - at)
            filled = events[played].frame - at
            synth.send(events[played].message)
            played += 1
        synth.fill(block, filled, BLOCK)
        yield block
        at += BLOCK
        loudest = float(np.abs(block).max())
        if not math.isfinite(loudest):
            raise GrooveError(f"soundfont {synth.soundfont.path}: damaged: it makes no real sound")
        peak = max(peak, loudest)
        if ringing_out and (loudest <= peak * QUIET or at >= longest):
            return
        ringing_out = played == len(events)


def missing_programs(events: Sequence[Event], synth: Synth) -> tuple[str, ...]:
    """The programs and drum kits that `events` play and the soundfont lacks, counted from 1.

    In place of one that is missing the synthesiser plays the first there is, or nothing.
    """
    program = dict.fromkeys(range(16), 0)
    missing: dict[str, None] = {}
    for message in (event.message for event in events):
        if message.type == "program_change":
            program[message.channel] = message.program
        elif message.type == "note_on" and message.velocity > 0:
            drums = message.channel == DRUM_CHANNEL
            number = program[message.channel]
            if not synth.has_program(number, drums=drums):
                missing[f"{'drum kit' if drums else 'program'} {number + 1}"] = None
    return tuple(missing)


def _binding() -> Any:
    """The Python binding of the library, imported at the time of use and kept from printing."""
    try:
        with contextlib.redirect_stdout(io.StringIO()):
            return importlib.import_module("fluidsynth")
    except ModuleNotFoundError:
        raise GrooveError("the Python package pyfluidsynth is not installed") from None
    except (ImportError, OSError, AttributeError):
        raise GrooveError(NO_LIBRARY) from None


@contextlib.contextmanager
def _quiet_stderr() -> Iterator[None]:
    """Keep libraries underneath the synthesiser from writing to the terminal on their own.

    Those that try a soundfont that was refused have logs which cannot be reached from here.
    """
    try:
        kept = os.dup(2)
    except OSError:  # closed: nothing can be written to it
        yield
        return
    with Path(os.devnull).open("wb") as nowhere:
        os.dup2(nowhere.fileno(), 2)
    try:
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)


def _write_function(api: Any) -> Any:
    """The library's float output, which the binding does not wrap.

    Its arguments: synth, frames, then buffer, offset and step for the left and the right channel.
    """
    output = [("out", ctypes.c_void_p, 1), ("first", ctypes.c_int, 1), ("step", ctypes.c_int, 1)]
    return api.cfunc(
        "fluid_synth_write_float",
        ctypes.c_int,
        ("synth", ctypes.c_void_p, 1),
        ("frames", ctypes.c_int, 1),
        *output,
        *output,
    )


def _route_log(api: Any, listener: ctypes.c_void_p | None) -> None:
    """Send the library's errors to `listener`, and all its other remarks nowhere."""
    set_log_function = api.cfunc(
        "fluid_set_log_function",
        ctypes.c_void_p,
        ("level", ctypes.c_int, 1),
        ("listener", ctypes.c_void_p, 1),
        ("data", ctypes.c_void_p, 1),
    )
    for level in _LOG_LEVELS:
        set_log_function(level, listener if level in _LOGGED_AS_ERROR else None, None)
