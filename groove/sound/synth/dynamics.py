"""Strikes the notes of a synthesiser with their tone, their level and their pitch.

A note is struck at its written velocity, which chooses the soundfont's own layers and closes a
filter, see `tone`; it is raised to the level that the soundfont has for the velocity that the mix
plays. Equal notes differ by a little in pitch and darkness, never two neighbours alike. None of it
changes the other notes that sound.
"""

from __future__ import annotations

import math
from ctypes import addressof, c_double, c_float, c_int
from typing import TYPE_CHECKING

from groove.rhythm.kit import DRUM_CHANNEL
from groove.sound.samples import GRAIN
from groove.sound.synth.engine import ATTENUATION, CHANNELS, FILTER_CORNER
from groove.sound.synth.tone import LOUDEST, program_tone
from groove.sound.synth.turns import Turns

if TYPE_CHECKING:
    import ctypes

    from groove.sound.synth.engine import Engine
    from groove.sound.synth.scores import Event

VELOCITY, KEY_PRESSURE, CONTROLLER = 2, 10, 20
NEGATIVE, IS_CONTROLLER = 1, 16
"""Sources of modulators and their flags (SoundFont specification 2.01, from memory).
The controller is one that MIDI leaves undefined: it holds how far the softest note of a channel's
program is closed."""

MOST = 127
CENTS_A_STEP = 100
"""Cents of the filter for each step of the controller."""
LIFT_DB = 32.0
"""The most that a note is raised, by its key pressure: a quarter of a dB a step."""

WAYS, APART = 5, 2
"""Ways of playing equal notes, and how far apart two neighbours are at least."""

KNOTS = (8, 24, 40, 56, 72, 88, 104, 127)
"""Velocities at which the level of a soundfont is measured."""
BEGINNING = 64 * GRAIN
"""Frames of a note from which its level is told (93 ms)."""


class Dynamics:
    """Strikes the notes on a synthesiser on which nothing sounds yet.

    behind: whether tone is given by a filter behind the soundfont's own, which takes a third more
    time.
    """

    def __init__(self, engine: Engine, *, behind: bool = False) -> None:
        self._engine, self._native, self._synth = engine, engine.native, engine.synth
        corner = FILTER_CORNER
        if behind:
            corner = engine.add_filter(range(CHANNELS))
        darkest = -CENTS_A_STEP * MOST
        self._add(corner, darkest, VELOCITY, NEGATIVE, CONTROLLER, IS_CONTROLLER)
        self._add(ATTENUATION, -10 * LIFT_DB, KEY_PRESSURE, 0)
        self._programs = [0] * CHANNELS
        self._turns = [Turns(f"channel {channel}") for channel in range(CHANNELS)]
        self._tuned: set[int] = set()
        self._levels: dict[int, Levels] = {}

    def choose(self, channel: int, program: int) -> None:
        """Give a channel a program, with the tone of that."""
        self._programs[channel] = program
        self._engine.choose(channel, program)
        darker = 0.0 if channel == DRUM_CHANNEL else program_tone(program).darker
        value = round(darker / CENTS_A_STEP)
        self._native.fluid_synth_cc(self._synth, channel, CONTROLLER, value)

    def measure(self, channel: int, note: int) -> None:
        """Find the levels of a channel's program, on a note; nothing may sound."""
        program = self._programs[channel]
        if program not in self._levels:
            self._native.fluid_synth_cc(self._synth, channel, CONTROLLER, 0)
            self._native.fluid_synth_key_pressure(self._synth, channel, note, 0)
            self._levels[program] = Levels(self._engine, channel, note)
            self.choose(channel, program)

    def strike(self, event: Event) -> None:
        """Strike a note; it sounds from the next frame on."""
        message = event.message
        channel, note = message.channel, message.note
        velocity = message.velocity
        if channel != DRUM_CHANNEL:
            tone = program_tone(self._programs[channel])
            way = self._turns[channel].next(note, WAYS, APART) / (WAYS - 1)
            softer = round(way * tone.shade * LOUDEST / tone.darker) if tone.darker else 0
            velocity = max(1, min(message.velocity, event.strength - softer))
            levels = self._levels.get(self._programs[channel])
            lift = levels.step(velocity, message.velocity) if levels else 0.0
            pressure = max(0, min(MOST, round(lift * MOST / LIFT_DB)))
            self._native.fluid_synth_key_pressure(self._synth, channel, note, pressure)
            self._tune(channel, note, (2 * way - 1) * tone.pitch)
        key = self._engine.key(channel, note)
        self._native.fluid_synth_noteon(self._synth, channel, key, velocity)

    def _tune(self, channel: int, note: int, cents: float) -> None:
        """Give the next note its pitch, by a tuning of the channel's own."""
        key, pitch = c_int(note), c_double(100 * note + cents)
        references = addressof(key), addressof(pitch)
        self._native.fluid_synth_tune_notes(self._synth, 0, channel, 1, *references, 0)
        if channel not in self._tuned:
            self._native.fluid_synth_activate_tuning(self._synth, channel, 0, channel, 0)
            self._tuned.add(channel)

    def _add(
        self, generator: int, amount: float, source: int, flags: int, by: int = 0, how: int = 0
    ) -> None:
        """Add a modulator of every note: a generator's amount by a source, and by another."""
        modulator = self._native.new_fluid_mod()
        self._native.fluid_mod_set_source1(modulator, source, flags)
        self._native.fluid_mod_set_source2(modulator, by, how)
        self._native.fluid_mod_set_dest(modulator, generator)
        self._native.fluid_mod_set_amount(modulator, amount)
        self._native.fluid_synth_add_default_mod(self._synth, modulator, 1)
        self._native.delete_fluid_mod(modulator)


class Levels:
    """The loudness of a channel's program at each velocity, measured on one of its notes."""

    def __init__(self, engine: Engine, channel: int, note: int) -> None:
        self._decibels: list[float] = []
        for velocity in KNOTS:
            engine.begin_evenly(channel, note, velocity)
            beginning = (c_float * (2 * BEGINNING))()
            engine.write(addressof(beginning), BEGINNING)
            engine.silence(channel)
            self._decibels.append(_decibels(beginning))

    def step(self, one: int, other: int) -> float:
        """The dB from the level of one velocity to that of another."""
        return self._at(other) - self._at(one)

    def _at(self, velocity: int) -> float:
        """The level of a velocity: a straight line over its logarithm from knot to knot."""
        high = max(1, next(n for n, knot in enumerate(KNOTS) if knot >= velocity))
        low = high - 1
        place = math.log(velocity / KNOTS[low]) / math.log(KNOTS[high] / KNOTS[low])
        return self._decibels[low] + place * (self._decibels[high] - self._decibels[low])


def _decibels(samples: ctypes.Array[c_float]) -> float:
    """The level of samples in dB."""
    import numpy as np

    sound = np.frombuffer(memoryview(samples), np.float32)
    return 10 * math.log10(max(1e-20, float(sound @ sound)))
