"""Single notes and strokes of a part as samples, dry, for those who play them on by themselves."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from groove.sound.samples import GRAIN, SAMPLE_RATE
from groove.sound.synth.dynamics import WAYS, Levels
from groove.sound.synth.engine import FILTER_CORNER, FINE_TUNE, Engine
from groove.sound.synth.stroke_pool import KitSetting, StrokePool
from groove.sound.synth.tone import program_tone

if TYPE_CHECKING:
    from groove.sound.samples import Samples
    from groove.sound.synth.soundfonts import Soundfont

CHANNEL = 0


class Notes:
    """Notes of a soundfont, each played alone; a context manager that frees it at its end.

    Volume is full and the place is the middle (controllers 7 and 10 at 127 and 64). Raises
    `GrooveError` where the soundfont cannot be loaded.
    """

    def __init__(self, soundfont: Soundfont) -> None:
        self._soundfont = soundfont
        self._engine: Engine | None = None
        self._pool: StrokePool | None = None
        self._levels: dict[int, Levels] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *error: object) -> None:
        self.close()

    def close(self) -> None:
        """Free the synthesisers."""
        for each in (self._engine, self._pool):
            if each:
                each.close()

    def stroke(
        self, kit: int, note: int, velocity: int, *, way: int | None = None, held: float = 0.5
    ) -> Samples:
        """A stroke on a kit, until it has died away; not to be written to.

        kit: its program. way: a way of playing it, with the tone of its velocity, see
        `stroke_pool`; None for the sound as the soundfont has it, with an open filter. held:
        seconds, for sounds that last as long as their note.
        """
        self._pool = self._pool or StrokePool(self._soundfont)
        frames = round(held * SAMPLE_RATE)
        return self._pool.stroke(KitSetting(kit, 127), note, velocity, way, frames)

    def stroke_gain(self, kit: int, note: int, velocity: int, played: int) -> float:
        """The factor that gives a stroke of one velocity the level that it has in the track, where
        the mix plays another."""
        self._pool = self._pool or StrokePool(self._soundfont)
        return self._pool.gain(KitSetting(kit, 127), note, velocity, played)

    def note_gain(self, program: int, pitch: int, velocity: int, played: int) -> float:
        """The factor that gives a note of one velocity the level that it has in the track, where
        the mix plays another."""
        engine = self._engine = self._engine or Engine(self._soundfont)
        if program not in self._levels:
            engine.choose(CHANNEL, program)
            engine.native.fluid_synth_set_gen(engine.synth, CHANNEL, FILTER_CORNER, 0)
            self._levels[program] = Levels(engine, CHANNEL, pitch)
        return float(10 ** (self._levels[program].step(velocity, played) / 20))

    def note(
        self,
        program: int,
        pitch: int,
        velocity: int,
        *,
        seconds: float,
        held: float,
        strength: int | None = None,
        way: int | None = None,
    ) -> Samples:
        """A note that ends after `held` of its `seconds`.

        velocity: that at which it is struck; strength: that which sets its tone, None for an open
        filter. For its level in the track see `note_gain`. way: 0 to 4, from low to high within the
        range of pitch and from bright to dark; None for its true pitch.
        """
        import numpy as np

        engine = self._engine = self._engine or Engine(self._soundfont)
        native, synth = engine.native, engine.synth
        tone = program_tone(program)
        place = 0.5 if way is None else way / (WAYS - 1)
        closed = tone.closed(strength) if strength is not None else 0.0
        closed += 0.0 if way is None else place * tone.shade
        engine.choose(CHANNEL, program)
        native.fluid_synth_cc(synth, CHANNEL, 7, 127)
        native.fluid_synth_set_gen(synth, CHANNEL, FINE_TUNE, (2 * place - 1) * tone.pitch)
        native.fluid_synth_set_gen(synth, CHANNEL, FILTER_CORNER, -closed)
        frames = GRAIN * round(seconds * SAMPLE_RATE / GRAIN)
        ends = min(frames, GRAIN * round(held * SAMPLE_RATE / GRAIN))
        samples = np.empty((frames, 2), np.float32)
        engine.begin_evenly(CHANNEL, pitch, velocity)
        engine.write(samples.ctypes.data, ends)
        native.fluid_synth_noteoff(synth, CHANNEL, pitch)
        engine.write(samples[ends:].ctypes.data, frames - ends)
        engine.silence(CHANNEL)
        engine.require_sound()
        return samples
