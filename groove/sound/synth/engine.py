"""The library's synthesiser with one soundfont, as those who play notes on it share it.

No audio device is ever opened. Samples are stereo float32; full scale is -1 to 1, and louder sound
goes beyond that: nothing clips here.
"""

from __future__ import annotations

import os
from ctypes import addressof, c_float
from typing import TYPE_CHECKING, Self

from groove.errors import GrooveError
from groove.rhythm.kit import DRUM_CHANNEL
from groove.sound.samples import GRAIN, SAMPLE_RATE
from groove.sound.synth.fluidsynth import library, require_room
from groove.sound.synth.soundfonts import DRUM_BANK
from groove.sound.synth.stand_ins import Preset, Sounds
from groove.sound.synth.tone import OPEN

if TYPE_CHECKING:
    from collections.abc import Iterable

    import mido

    from groove.sound.synth.soundfonts import Soundfont

CHANNELS = 16

GAIN = 0.2
"""The synthesiser's own level; the gain of the mix is added later."""

SETTINGS: dict[str, int | float] = {
    "synth.gain": GAIN,
    "synth.sample-rate": float(SAMPLE_RATE),
    "synth.midi-channels": CHANNELS,
    "synth.polyphony": 256,
    "synth.cpu-cores": 1,
    "synth.threadsafe-api": 0,
    "synth.lock-memory": 0,
    "synth.dynamic-sample-loading": 1,
    "synth.chorus.active": 0,
    "synth.reverb.active": 0,
}
"""One core each, because several add the voices up in an order that changes from run to run.
Only the samples of the programs in use are read, and synthesisers of one process share them. They
are dry: the room is added to each part later."""

FILTER_CORNER, ATTENUATION, FINE_TUNE = 8, 48, 52
"""Numbers of generators (SoundFont specification 2.01, from memory)."""
ADDED_CORNER, ADDED_Q = 61, 62
"""Numbers of the library's own generators, those of its additional filter."""
LOW_PASS, NO_GAIN = 1, 4
"""The kind and a flag of the additional filter: no loss of level for its resonance, which at 0 is
that of a Butterworth filter (measured)."""


class Engine:
    """The synthesiser; a context manager that frees it at its end.

    sounds: what the soundfont has. A channel has no sound until its program is chosen: only then
    are the samples read. Raises `GrooveError` where the library is missing or cannot load the
    soundfont. Several may play at once, each in a thread of its own.
    """

    def __init__(self, soundfont: Soundfont) -> None:
        self.soundfont = soundfont
        self._library = library()
        self.native = self._library.native
        self._complaints_before = len(self._library.complaints)
        require_room()
        self._settings = self.native.new_fluid_settings()
        self.synth = None
        for name, value in SETTINGS.items():
            if isinstance(value, int):
                self.native.fluid_settings_setint(self._settings, name.encode(), value)
            else:
                self.native.fluid_settings_setnum(self._settings, name.encode(), value)
        self.synth = self.native.new_fluid_synth(self._settings)
        if not (self._settings and self.synth):
            self.close()
            raise MemoryError
        self.font = self.native.fluid_synth_sfload(self.synth, os.fsencode(soundfont.path), 0)
        if self.font < 0:
            self.close()
            reason = self._complaint() or "no reason was given"
            raise GrooveError(f"soundfont {soundfont.path}: it cannot be loaded: {reason}")
        self.sounds = Sounds(soundfont)
        self._programs: dict[int, int] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.close()

    def close(self) -> None:
        """Free the synthesiser and its samples."""
        self.native.delete_fluid_synth(self.synth)
        self.native.delete_fluid_settings(self._settings)

    def write(self, address: int, frames: int) -> None:
        """Play on for some frames into memory at `address`, left and right in turn."""
        self.native.fluid_synth_write_float(self.synth, frames, address, 0, 2, address, 1, 2)

    def add_filter(self, channels: Iterable[int]) -> int:
        """Put an open low-pass filter behind the soundfont's own on some channels; returns the
        number of the generator that holds its corner."""
        self.native.fluid_synth_set_custom_filter(self.synth, LOW_PASS, NO_GAIN)
        for channel in channels:
            self.native.fluid_synth_set_gen(self.synth, channel, ADDED_CORNER, OPEN)
            self.native.fluid_synth_set_gen(self.synth, channel, ADDED_Q, 0)
        return ADDED_CORNER

    def choose(self, channel: int, program: int) -> None:
        """Give a channel the sound that the soundfont has for a program, and read its samples.

        Where there is nothing of the kind, it stays silent.
        """
        if channel == DRUM_CHANNEL:
            self.choose_kit(channel, program)
        else:
            self._select(channel, self.sounds.preset(0, program))

    def choose_kit(self, channel: int, program: int, bank: int = DRUM_BANK) -> None:
        """Give a channel the kit that the soundfont has for a program.

        bank: that of another recording of it.
        """
        self._select(channel, (bank, self.sounds.preset(DRUM_BANK, program)[1]))
        self._programs[channel] = program

    def _select(self, channel: int, preset: Preset) -> None:
        if preset in self.sounds:
            place = self.sounds.place(preset)
            self.native.fluid_synth_program_select(self.synth, channel, self.font, *place)

    def key(self, channel: int, note: int) -> int:
        """The key that plays a note on a channel: of a kit, that of the stroke that it has."""
        if channel != DRUM_CHANNEL:
            return note
        return self.sounds.key(self._programs.get(channel, 0), note)

    def send(self, message: mido.Message) -> None:
        """Carry out one channel message; it sounds from the next frame on."""
        native, synth, channel = self.native, self.synth, message.channel
        match message.type:
            case "note_on":
                key = self.key(channel, message.note)
                native.fluid_synth_noteon(synth, channel, key, message.velocity)
            case "note_off":
                native.fluid_synth_noteoff(synth, channel, self.key(channel, message.note))
            case "control_change":
                native.fluid_synth_cc(synth, channel, message.control, message.value)
            case "program_change":
                self.choose(channel, message.program)
            case "pitchwheel":
                native.fluid_synth_pitch_bend(synth, channel, message.pitch + 8192)

    def begin_evenly(self, channel: int, note: int, velocity: int) -> None:
        """Strike a note so that it begins as it always does, while no other sounds.

        The library fades a note over its first grain from the level that its voice had for the
        note before; so that is the same one.
        """
        self.native.fluid_synth_noteon(self.synth, channel, note, velocity)
        self.silence(channel)
        self.native.fluid_synth_noteon(self.synth, channel, note, velocity)

    def silence(self, channel: int) -> None:
        """End all that sounds on a channel, and with it every trace of it."""
        rest = (c_float * (2 * GRAIN))()
        self.write(addressof(rest), GRAIN)
        self.native.fluid_synth_all_sounds_off(self.synth, channel)
        self.write(addressof(rest), GRAIN)

    def require_sound(self) -> None:
        """Raise `GrooveError` where the library met an error, such as a damaged sample."""
        complaint = self._complaint()
        if complaint:
            raise GrooveError(
                f"soundfont {self.soundfont.path}: damaged: a sound cannot be read: {complaint}"
            )

    def _complaint(self) -> str:
        """The first error that the library has logged since this synthesiser was made, or ""."""
        return next(iter(self._library.complaints[self._complaints_before :]), "")
