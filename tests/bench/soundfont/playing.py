"""Plays single notes of a soundfont with the synthesiser, dry."""

from __future__ import annotations

import importlib
import os
from pathlib import Path
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray

from groove.sound.synth.fluidsynth import library

RATE = 44100
DRUM_CHANNEL = 9
DRUM_BANKS = 120
_GAIN = 0.2
_GRAIN = 64


class Player:
    """A synthesiser with one font; a context manager that frees it at its end.

    Raises RuntimeError where the library cannot load the font or complains about a sound.
    """

    def __init__(self, path: Path) -> None:
        self._library = library()
        self._native: Any = self._library.native
        self._binding = importlib.import_module("fluidsynth")
        self._complaints = len(self._library.complaints)
        self._settings = self._native.new_fluid_settings()
        for name, value in (("synth.gain", _GAIN), ("synth.sample-rate", float(RATE))):
            self._native.fluid_settings_setnum(self._settings, name.encode(), value)
        for name in ("synth.reverb.active", "synth.chorus.active", "synth.lock-memory"):
            self._native.fluid_settings_setint(self._settings, name.encode(), 0)
        self._native.fluid_settings_setint(self._settings, b"synth.dynamic-sample-loading", 1)
        self._synth = self._native.new_fluid_synth(self._settings)
        self._font = self._native.fluid_synth_sfload(self._synth, os.fsencode(path), 0)
        if self._font < 0:
            raise RuntimeError(f"{path} cannot be loaded: {self.complaints}")

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self._native.delete_fluid_synth(self._synth)
        self._native.delete_fluid_settings(self._settings)

    @property
    def complaints(self) -> list[str]:
        """The lines that the library has logged as errors since the player was made."""
        return self._library.complaints[self._complaints :]

    def choose(self, bank: int, program: int) -> None:
        """Take a sound; those from bank 120 on are drum kits."""
        self._channel = DRUM_CHANNEL if bank >= DRUM_BANKS else 0
        self._binding.fluid_synth_program_select(
            self._synth, self._channel, self._font, bank, program
        )

    def note(
        self, key: int, velocity: int, held: float = 1.0, rest: float = 0.5, over: bool = False
    ) -> NDArray[np.float32]:
        """One note held and let go, in seconds, as stereo samples (frames, 2). What sounded before
        is cut off, or sounds on where the note is to be played over it."""
        if not over:
            self._binding.fluid_synth_all_sounds_off(self._synth, self._channel)
            self._frames(_GRAIN * 2)
        self._native.fluid_synth_noteon(self._synth, self._channel, key, velocity)
        sound = self._frames(_grains(held))
        self._native.fluid_synth_noteoff(self._synth, self._channel, key)
        return np.concatenate((sound, self._frames(_grains(rest))))

    def _frames(self, frames: int) -> NDArray[np.float32]:
        block = np.empty((frames, 2), np.float32)
        at = block.ctypes.data
        self._native.fluid_synth_write_float(self._synth, frames, at, 0, 2, at, 1, 2)
        return block


def _grains(seconds: float) -> int:
    return max(round(seconds * RATE / _GRAIN), 0) * _GRAIN
