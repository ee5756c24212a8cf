"""Single strokes on a drum kit, each rendered once by the library, dry and whole: it rings until it
has died away, whether its note ends sooner or not.

Each stroke goes through a filter of its own behind that of the soundfont, so that its tone follows
its strength with any soundfont, see `tone`. Equal strokes are played in a few ways that differ a
little in pitch and tone, and in the recording where the soundfont has several.

What is rendered depends on nothing that was rendered before.
"""

from __future__ import annotations

import math
import threading
from collections import OrderedDict
from typing import TYPE_CHECKING, NamedTuple

from groove.sound.samples import GRAIN, SAMPLE_RATE
from groove.sound.synth.engine import CHANNELS, FINE_TUNE, Engine
from groove.sound.synth.soundfont_file import samples
from groove.sound.synth.soundfonts import DRUM_BANK
from groove.sound.synth.tone import EVEN, OPEN, kit_tone

if TYPE_CHECKING:
    from groove.sound.samples import Samples
    from groove.sound.synth.soundfonts import Soundfont

PITCHES, SHADES = (-1, 1, 0, -0.5, 0.5), (0.5, 0, 1, 0.25, 0.75)
"""For each way its place in the range of pitch, -1 to 1, and of tone, 0 to 1."""

ALTERNATES = (120, 121, 122)
"""The banks of further recordings of the kit in bank 128 with the same program."""

MANY = 3
"""Recordings of a stroke that are varied enough by themselves."""

KEPT_BYTES = 48_000_000
"""Rendered strokes that are kept: the longest unused is rendered anew when it comes again."""

LONGEST_SECONDS = 12
QUIET = 10 ** (-60 / 20)
"""A stroke has died away where it stays 60 dB below its peak."""
SUSTAINED = 10 ** (-40 / 20)
"""A sound still louder than this after the longest time is held by its note, and ends with it."""

CHUNK = 64 * GRAIN
"""Frames rendered at a time (93 ms)."""
BEGINNING = 32 * GRAIN
"""Frames from whose level that of a stroke is told (46 ms)."""
FADE = 1024
"""Frames of the fade-out (23 ms) where a stroke has died away."""

LEVEL_STEP = 8
"""Velocities from one measured level to the next."""


class KitSetting(NamedTuple):
    """The setting of a kit when it is struck: program and values of controllers 7, 10 and 11."""

    program: int = 0
    volume: int = 100
    pan: int = 64
    expression: int = 127


class StrokePool:
    """The strokes of one soundfont. To be closed. Several threads may ask at once.

    Raises `GrooveError` where the soundfont cannot be loaded.
    """

    def __init__(self, soundfont: Soundfont) -> None:
        self._engine = Engine(soundfont)
        self._native, self._synth = self._engine.native, self._engine.synth
        self._corner = self._engine.add_filter(range(CHANNELS))
        self._channels: dict[tuple[int, int], int] = {}
        self._set: dict[int, KitSetting] = {}
        self._recordings: dict[tuple[int, int], tuple[int, ...]] = {}
        self._sampled: dict[tuple[int, int], dict[int, frozenset[int]]] = {}
        self._lock = threading.Lock()
        self._kept: OrderedDict[tuple[object, ...], Samples] = OrderedDict()
        self._bytes = 0
        self._levels: dict[tuple[KitSetting, int, int], float] = {}
        self._sustained: set[tuple[int, int]] = set()
        self._buffer: Samples | None = None

    def close(self) -> None:
        """Free the synthesiser; what was rendered stays."""
        self._engine.close()

    def recordings(self, program: int, note: int) -> tuple[int, ...]:
        """The banks that have a recording of their own of a stroke on a kit, the kit's own first;
        the ways of playing it have them in turn."""
        key = program, note
        if key not in self._recordings:
            _, there = self._engine.sounds.preset(DRUM_BANK, program)
            banks = [bank for bank in ALTERNATES if (bank, there) in self._engine.sounds]
            found: dict[frozenset[int], int] = {}
            for bank in [DRUM_BANK, *banks] if banks else ():
                there_are = self._samples(bank, there)
                struck = self._engine.sounds.key(program, note)
                found.setdefault(there_are.get(struck, frozenset()), bank)
            self._recordings[key] = tuple(found.values()) or (DRUM_BANK,)
        return self._recordings[key]

    def ways(self, program: int, note: int) -> tuple[int, int]:
        """The number of ways of playing a stroke, and of its recordings. Those are the
        ways if they are three or more, else they are those of its tone."""
        recordings = len(self.recordings(program, note))
        return (recordings if recordings >= MANY else kit_tone(note).ways), recordings

    def _samples(self, bank: int, program: int) -> dict[int, frozenset[int]]:
        """The samples of a preset by key."""
        preset = bank, program
        if preset not in self._sampled:
            self._sampled[preset] = samples(self._engine.soundfont.path, *preset)
        return self._sampled[preset]

    def stroke(
        self, setting: KitSetting, note: int, velocity: int, way: int | None, held: int = 0
    ) -> Samples:
        """A stroke from its first frame until it has died away; not to be written to.

        way: below the number of ways of its tone, or None for the sound as the soundfont has it.
        held: frames until the note ends, for sounds that last as long as it does.
        """
        with self._lock:
            lasts = held if (setting.program, note) in self._sustained else 0
            key = setting, note, velocity, way, lasts
            found = self._kept.get(key)
            if found is None:
                found = self._render(*key)
                if found is None:
                    self._sustained.add((setting.program, note))
                    key = setting, note, velocity, way, held
                    found = self._render(*key, cut=True)
                    assert found is not None
                self._keep(key, found)
            else:
                self._kept.move_to_end(key)
            return found

    def gain(self, setting: KitSetting, note: int, velocity: int, played: int) -> float:
        """The factor that gives a stroke of one velocity the level that the soundfont has for
        another."""
        near = max(1, min(127, LEVEL_STEP * round(played / LEVEL_STEP)))
        with self._lock:
            own = self._level(setting, note, velocity)
            return self._level(setting, note, near) / own * (played / near) ** 2 if own else 0.0

    def _level(self, setting: KitSetting, note: int, velocity: int) -> float:
        """The root mean square of the beginning of a stroke as the soundfont has it."""
        import numpy as np

        key = setting, note, velocity
        if key not in self._levels:
            channel = self._strike(setting, note, velocity, None)
            beginning = np.empty(2 * BEGINNING, np.float32)
            self._engine.write(beginning.ctypes.data, BEGINNING)
            self._engine.silence(channel)
            self._levels[key] = math.sqrt(float(beginning @ beginning) / len(beginning))
        return self._levels[key]

    def _keep(self, key: tuple[object, ...], stroke: Samples) -> None:
        self._kept[key] = stroke
        self._bytes += stroke.nbytes
        while self._bytes > KEPT_BYTES and len(self._kept) > 1:
            _, oldest = self._kept.popitem(last=False)
            self._bytes -= oldest.nbytes

    def _render(
        self,
        setting: KitSetting,
        note: int,
        velocity: int,
        way: int | None,
        held: int,
        *,
        cut: bool = False,
    ) -> Samples | None:
        """The stroke, or None if it is held by its note; cut: not looked at, it ends where it is.

        held: frames until the note ends, or 0 if it does not matter.
        """
        import numpy as np

        most = LONGEST_SECONDS * SAMPLE_RATE // CHUNK + held // CHUNK
        buffer = self._buffer
        if buffer is None or len(buffer) < most * CHUNK:
            buffer = self._buffer = np.empty((most * CHUNK, 2), np.float32)
        channel = self._strike(setting, note, velocity, way)
        levels: list[float] = []
        for first in range(0, most * CHUNK, CHUNK):
            chunk = buffer[first : first + CHUNK]
            self._engine.write(chunk.ctypes.data, CHUNK)
            levels.append(max(float(chunk.max()), -float(chunk.min())))
            if 0 < held <= first + CHUNK:
                key = self._engine.sounds.key(setting.program, note)
                self._native.fluid_synth_noteoff(self._synth, channel, key)
                held = 0
            if not self._native.fluid_synth_get_active_voice_count(self._synth):
                break
            if levels[-1] < max(levels) * QUIET and not held:
                break
        else:
            if not cut and levels[-1] > max(levels) * SUSTAINED:
                self._engine.silence(channel)
                return None
        self._engine.silence(channel)
        self._engine.require_sound()
        return _died_away(buffer[: len(levels) * CHUNK], levels)

    def _strike(self, setting: KitSetting, note: int, velocity: int, way: int | None) -> int:
        """Strike a note, which sounds from the next frame on; returns its channel."""
        native, synth = self._native, self._synth
        tone = EVEN if way is None else kit_tone(note)
        way = way or 0
        banks = self.recordings(setting.program, note)
        channel = self._channel(setting, banks[way % len(banks)])
        closed = tone.closed(velocity) + tone.shade * SHADES[way]
        native.fluid_synth_set_gen(synth, channel, FINE_TUNE, tone.pitch * PITCHES[way])
        native.fluid_synth_set_gen(synth, channel, self._corner, OPEN - closed)
        key = self._engine.sounds.key(setting.program, note)
        self._engine.begin_evenly(channel, key, velocity)
        return channel

    def _channel(self, setting: KitSetting, bank: int) -> int:
        """The channel of a kit's recordings, brought to a setting. Each has one of its own as long
        as there are some left, so that its samples stay read."""
        kit = setting.program, bank
        if kit not in self._channels:
            number = len(self._channels) % CHANNELS
            self._channels = {k: at for k, at in self._channels.items() if at != number}
            self._channels[kit] = number
            self._set.pop(number, None)
        channel = self._channels[kit]
        if self._set.get(channel) != setting:
            native, synth = self._native, self._synth
            controls = (7, setting.volume), (10, setting.pan), (11, setting.expression)
            for control, value in controls:
                native.fluid_synth_cc(synth, channel, control, value)
            self._engine.choose_kit(channel, setting.program, bank)
            self._set[channel] = setting
        return channel


def _died_away(sound: Samples, levels: list[float]) -> Samples:
    """A copy of a stroke up to where it has died away, faded out there.

    levels: the peaks of its chunks.
    """
    import numpy as np

    floor = max(levels) * QUIET
    last = max((n for n, level in enumerate(levels) if level >= floor > 0), default=0)
    loud = np.flatnonzero(np.abs(sound[last * CHUNK : (last + 1) * CHUNK].ravel()) >= floor)
    end = last * CHUNK + int(loud[-1]) // 2 + 1 if len(loud) else 0
    length = min(len(sound), end + FADE)
    stroke = sound[:length].copy()
    stroke[-FADE:] *= np.linspace(1, 0, FADE, dtype=np.float32)[:, np.newaxis]
    return stroke
