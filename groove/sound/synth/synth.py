"""Plays the score of one part with pitched instruments: blocks of samples come out.

The same score and soundfont give the same samples, to the bit, with the same version of the
library, for any size of the blocks. Every note has a tone of its own strength, and repeated notes
differ by a little in pitch and tone, see `tone`.

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
from groove.rhythm.kit import DRUM_CHANNEL
from groove.sound.samples import GRAIN
from groove.sound.synth.engine import BYTES_A_FRAME, Engine
from groove.sound.synth.tone import EVEN, program_tone
from groove.sound.synth.turns import Turns

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from groove.sound.synth.scores import Event
    from groove.sound.synth.soundfonts import Fonts, Soundfont

MEMORY = 400_000_000
"""Bytes that an hour of audio takes at most, beside the soundfonts (364 MB was measured)."""

CHANNELS = 16
KEY_PRESSURE, FILTER_CORNER = 10, 8
"""The number of a modulator's source and that of a generator (SoundFont specification 2.01, from
memory)."""

MOST_PRESSURE, MOST_CLOSED = 127, 10_000
"""A note's key pressure closes its filter, the most by so many cents: 79 cents a step."""

WAYS, APART = 5, 2
"""Ways of playing equal notes, and how far apart two neighbours are at least."""


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

    even: whether every note sounds as the
    soundfont has it, whatever its strength. Raises `GrooveError` where the library is missing or
    cannot load the soundfont. Several may play at once, each in a thread of its own.
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
        self._toner = None if even else _Toner(self._engine)
        self._events = events
        self._chosen: set[int] = set()
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
        if message.type == "program_change":
            self._chosen.add(message.channel)
        elif message.type == "note_on" and message.channel not in self._chosen:
            self._engine.choose(message.channel, 0)
            self._chosen.add(message.channel)
        if self._toner:
            self._toner.prepare(event)
        self._engine.send(message)

    def _write(self, at: int, frames: int) -> int:
        """Play `frames` into memory from address `at`; returns the address after them."""
        if frames:
            self._engine.write(at, frames)
            self.frame += frames
        return at + frames * BYTES_A_FRAME


class _Toner:
    """Gives each note of a synthesiser its tone and its pitch just before it is struck.

    Tone goes by key pressure, which closes the filter, pitch by a tuning of the channel's own;
    neither changes the other notes that sound.
    """

    def __init__(self, engine: Engine) -> None:
        self._native, self._synth = engine.native, engine.synth
        modulator = self._native.new_fluid_mod()
        self._native.fluid_mod_set_source1(modulator, KEY_PRESSURE, 0)
        self._native.fluid_mod_set_source2(modulator, 0, 0)
        self._native.fluid_mod_set_dest(modulator, FILTER_CORNER)
        self._native.fluid_mod_set_amount(modulator, -MOST_CLOSED)
        self._native.fluid_synth_add_default_mod(self._synth, modulator, 1)
        self._native.delete_fluid_mod(modulator)
        self._tones = [program_tone(0)] * CHANNELS
        self._tones[DRUM_CHANNEL] = EVEN
        self._turns = [Turns(f"channel {channel}") for channel in range(CHANNELS)]
        self._tuned: set[int] = set()

    def prepare(self, event: Event) -> None:
        """Make ready for a message, which is then sent."""
        message = event.message
        channel = message.channel
        if message.type == "program_change" and channel != DRUM_CHANNEL:
            self._tones[channel] = program_tone(message.program)
        elif message.type == "note_on" and message.velocity and self._tones[channel] is not EVEN:
            way = self._turns[channel].next(message.note, WAYS, APART) / (WAYS - 1)
            tone = self._tones[channel]
            self._close(channel, message.note, tone.closed(event.strength) + way * tone.shade)
            self._tune(channel, message.note, (2 * way - 1) * tone.pitch)

    def _close(self, channel: int, note: int, cents: float) -> None:
        pressure = min(MOST_PRESSURE, round(MOST_PRESSURE * cents / MOST_CLOSED))
        self._native.fluid_synth_key_pressure(self._synth, channel, note, pressure)

    def _tune(self, channel: int, note: int, cents: float) -> None:
        key, pitch = ctypes.c_int(note), ctypes.c_double(100 * note + cents)
        references = ctypes.addressof(key), ctypes.addressof(pitch)
        self._native.fluid_synth_tune_notes(self._synth, 0, channel, 1, *references, 0)
        if channel not in self._tuned:
            self._native.fluid_synth_activate_tuning(self._synth, channel, 0, channel, 0)
            self._tuned.add(channel)


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
