"""Plays the score of one part with pitched instruments: blocks of samples come out.

The same score and soundfont give the same samples, to the bit, with the same version of the
library, for any size of the blocks. Every note has a tone of its own strength, and repeated notes
differ by a little in pitch and tone, see `dynamics`.

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
from groove.sound.samples import BYTES_A_FRAME, GRAIN
from groove.sound.synth.dynamics import Dynamics
from groove.sound.synth.engine import Engine
from groove.sound.synth.scores import first_notes
from groove.sound.synth.tone import program_tone

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from groove.sound.synth.scores import Event
    from groove.sound.synth.soundfonts import Fonts, Soundfont

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

    even: whether every note sounds as the soundfont has it at the velocity that is played. Raises
    `GrooveError` where the library is missing or cannot load the soundfont. Several may play at
    once, each in a thread of its own.
    """

    def __init__(
        self,
        soundfont: Soundfont,
        events: Sequence[Event],
        *,
        even: bool = False,
    ) -> None:
        self.soundfont = soundfont
        self.frame = 0
        self._engine = Engine(soundfont)
        programs = {program for _, program, _ in first_notes(events)}
        behind = any(program_tone(program).behind for program in programs)
        self._dynamics = None if even else Dynamics(self._engine, behind=behind)
        self._events = events
        self._ready = False
        self._played = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.close()

    def close(self) -> None:
        """Free the synthesiser and its samples."""
        self._engine.close()

    def fill(self, block: ctypes.Array[ctypes.c_float]) -> None:
        """Play on into all of `block`, left and right in turn, with the events due in it.

        It is a whole number of grains long. Raises `GrooveError` where the library met an error,
        such as a damaged sample.
        """
        if not self._ready:
            self._make_ready()
        at = ctypes.addressof(block)
        end = self.frame + len(block) // 2
        while self._played < len(self._events):
            event = self._events[self._played]
            frame = max(self.frame, GRAIN * round(event.frame / GRAIN))
            if frame >= end:
                break
            at = self._write(at, frame - self.frame)
            self._send(event)
            self._played += 1
        self._write(at, end - self.frame)
        self._engine.require_sound()

    def _send(self, event: Event) -> None:
        """Carry out an event; it sounds from the next frame on."""
        message = event.message
        if self._dynamics and message.type == "program_change":
            self._dynamics.choose(message.channel, message.program)
        elif self._dynamics and message.type == "note_on" and message.velocity:
            self._dynamics.strike(event)
        else:
            self._engine.send(message)

    def _make_ready(self) -> None:
        """Choose each channel's programs, and get to know their levels."""
        for channel, program, note in first_notes(self._events):
            if self._dynamics:
                self._dynamics.choose(channel, program)
                self._dynamics.measure(channel, note)
            else:
                self._engine.choose(channel, program)
        self._ready = True

    def _write(self, at: int, frames: int) -> int:
        """Play `frames` into memory from address `at`; returns the address after them."""
        if frames:
            self._engine.write(at, frames)
            self.frame += frames
        return at + frames * BYTES_A_FRAME


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
