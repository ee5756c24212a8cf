"""One synthesiser: a score and a soundfont go in, blocks of samples come out.

No audio device is ever opened. The same score and soundfont give the same samples, to the bit,
with the same version of the library, for any size of the blocks.

Samples are stereo float32 arrays of shape (frames, 2); full scale is -1 to 1, and louder sound
goes beyond that: nothing clips here.
"""

from __future__ import annotations

import contextlib
import ctypes
import mmap
import os
from pathlib import Path
from typing import TYPE_CHECKING, Self

from groove.errors import GrooveError
from groove.sound.samples import SAMPLE_RATE
from groove.sound.synth.fluidsynth import library, require_room

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import mido

    from groove.sound.synth.scores import Event
    from groove.sound.synth.soundfonts import Fonts, Soundfont

GAIN = 0.2
"""The synthesiser's own level; the gain of the mix is added later."""

SETTINGS: dict[str, int | float] = {
    "synth.gain": GAIN,
    "synth.sample-rate": float(SAMPLE_RATE),
    "synth.midi-channels": 16,
    "synth.polyphony": 256,
    "synth.cpu-cores": 1,
    "synth.threadsafe-api": 0,
    "synth.lock-memory": 0,
    "synth.dynamic-sample-loading": 1,
    "synth.chorus.active": 0,
    "synth.reverb.active": 0,
}
"""One core each, because several add the voices up in an order that changes from run to run.
Only the samples of the programs in use are read, and synthesisers of one process share them."""

MEMORY = 400_000_000
"""Bytes that an hour of audio takes at most, beside the soundfonts (364 MB was measured)."""


def require_memory(fonts: Fonts) -> None:
    """Raise `GrooveError` unless the process may use the memory that audio takes at most.

    Native libraries end the whole process where they are refused it.
    """
    most = MEMORY + sum(font.path.stat().st_size for font in fonts.all)
    try:
        mmap.mmap(-1, most, flags=mmap.MAP_PRIVATE | mmap.MAP_ANONYMOUS).close()
    except (OSError, MemoryError):
        raise GrooveError(
            f"not enough memory: to make sound may take {most / 1e6:.0f} MB beside the program"
        ) from None


class Synth:
    """A synthesiser that plays one score; a context manager that frees it at its end.

    Raises `GrooveError` where the library is missing or cannot load the soundfont. Several may
    play at once, each in a thread of its own.
    """

    def __init__(self, soundfont: Soundfont, events: Sequence[Event]) -> None:
        self.soundfont = soundfont
        self.frame = 0
        self._library = library()
        self._native = self._library.native
        self._complaints_before = len(self._library.complaints)
        require_room()
        self._settings = self._native.new_fluid_settings()
        self._synth = None
        for name, value in SETTINGS.items():
            if isinstance(value, int):
                self._native.fluid_settings_setint(self._settings, name.encode(), value)
            else:
                self._native.fluid_settings_setnum(self._settings, name.encode(), value)
        self._synth = self._native.new_fluid_synth(self._settings)
        if not (self._settings and self._synth):
            self.close()
            raise MemoryError
        self._font = self._native.fluid_synth_sfload(self._synth, os.fsencode(soundfont.path), 1)
        if self._font < 0:
            self.close()
            reason = self._complaint() or "no reason was given"
            raise GrooveError(f"soundfont {soundfont.path}: it cannot be loaded: {reason}")
        self._events = events
        self._played = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.close()

    def close(self) -> None:
        """Free the synthesiser and its samples."""
        self._native.delete_fluid_synth(self._synth)
        self._native.delete_fluid_settings(self._settings)

    def fill(self, block: ctypes.Array[ctypes.c_float]) -> None:
        """Play on into all of `block`, left and right in turn, with the events due in it.

        It is a whole number of grains long. Raises `GrooveError` where the library met an error,
        such as a damaged sample.
        """
        at = ctypes.addressof(block)
        end = self.frame + len(block) // 2
        while self._played < len(self._events) and self._events[self._played].frame < end:
            event = self._events[self._played]
            at = self._write(at, event.frame - self.frame)
            self._send(event.message)
            self._played += 1
        self._write(at, end - self.frame)
        complaint = self._complaint()
        if complaint:
            raise GrooveError(
                f"soundfont {self.soundfont.path}: damaged: a sound cannot be read: {complaint}"
            )

    def _write(self, at: int, frames: int) -> int:
        """Play `frames` into memory from address `at`; returns the address after them."""
        if frames:
            self._native.fluid_synth_write_float(self._synth, frames, at, 0, 2, at, 1, 2)
            self.frame += frames
        return at + frames * 2 * ctypes.sizeof(ctypes.c_float)

    def _send(self, message: mido.Message) -> None:
        """Carry out one channel message; it sounds from the next frame on."""
        native, synth, channel = self._native, self._synth, message.channel
        match message.type:
            case "note_on":
                native.fluid_synth_noteon(synth, channel, message.note, message.velocity)
            case "note_off":
                native.fluid_synth_noteoff(synth, channel, message.note)
            case "control_change":
                native.fluid_synth_cc(synth, channel, message.control, message.value)
            case "program_change":
                native.fluid_synth_program_change(synth, channel, message.program)
            case "pitchwheel":
                native.fluid_synth_pitch_bend(synth, channel, message.pitch + 8192)

    def _complaint(self) -> str:
        """The first error that the library has logged since this synthesiser was made, or ""."""
        return next(iter(self._library.complaints[self._complaints_before :]), "")


@contextlib.contextmanager
def quiet_stderr() -> Iterator[None]:
    """Keep the libraries below the synthesiser from writing to standard error.

    It calls them for a soundfont that it cannot read itself, and cannot switch off their logs.
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
