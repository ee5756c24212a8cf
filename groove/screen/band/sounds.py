"""Two bars as sound, made in memory within a press of a button.

What takes time is kept: the samples of instruments, and the strokes on drums. The mix is the
track's own, at one loudness for all that is heard, so that one pattern can be compared with
another.
"""

from __future__ import annotations

import ctypes
import os
import threading
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING

from groove import library
from groove.rhythm.kit import DRUM_CHANNEL, INSTRUMENTS
from groove.sound.midi import midi_file
from groove.sound.mix.asked_mix import settings_of
from groove.sound.samples import BLOCK, SAMPLE_RATE
from groove.sound.synth.covering import covered, played_in
from groove.sound.synth.engine import CHANNELS, Engine
from groove.sound.synth.scores import frame_at, scores, tempo_map
from groove.sound.synth.soundfonts import find_fonts
from groove.sound.synth.stroke_pool import StrokePool
from groove.sound.synth.strokes import StrokePlayer
from groove.sound.synth.synth import Synth, quiet_stderr, require_memory

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from groove.screen.band.two_bars import TwoBars
    from groove.sound.mix.mix_settings import MixSettings
    from groove.sound.samples import Samples
    from groove.sound.synth.scores import Score
    from groove.sound.synth.soundfonts import Fonts, Soundfont

LOUDNESS = -18.0
"""LUFS of what is heard: low enough that few peaks are limited."""
RINGS, FADES = int(1.2 * SAMPLE_RATE), int(0.5 * SAMPLE_RATE)
"""Frames for which the last notes ring on, and at the end of which they fade out."""
MOST_HELD = 40
"""Instruments whose samples stay read: about 80 MB of the package's own soundfont."""


class Sounds:
    """Makes the sound of two bars, and keeps what may be needed again. Several threads may ask."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._fonts: Fonts | None = None
        self._pools: dict[Soundfont, StrokePool] = {}
        self._held: dict[tuple[Soundfont, int], Engine] = {}
        self._holding: dict[Soundfont, tuple[Engine, Iterator[int]]] = {}

    def prepare(self, likely: TwoBars, instruments: Iterable[str]) -> None:
        """Make ready what two bars need: at first for likely ones, then the samples of instruments,
        named as in General MIDI. Raises GrooveError where there is no sound."""
        self.wav(likely)
        font = self._found().main
        for name in instruments:
            with self._lock:  # two bars that are asked for meanwhile wait for one of them only
                self._hold(font, INSTRUMENTS[name].program)

    def wav(self, bars: TwoBars) -> bytes:
        """The two bars as a WAV file of 16 bits in stereo. Raises GrooveError where there is no
        sound."""
        fonts = covered(self._found(), played_in(bars.take)).fonts
        settings = settings_of(bars.take.chart)
        midi = midi_file(bars.take)
        band = [settings.weigh(score) for score in scores(midi)]
        end = frame_at(tempo_map(midi), bars.end)
        with self._lock:
            dry = [self._played(score, fonts.of(score.name), end + RINGS) for score in band]
        return _written(_mixed(dry, band, settings, bars.soft), end)

    def _found(self) -> Fonts:
        with self._lock:
            if self._fonts is None:
                fonts = find_fonts(None, os.environ)
                require_memory(fonts)
                self._fonts = fonts
            return self._fonts

    def _played(self, score: Score, font: Soundfont, frames: int) -> list[Samples]:
        """The blocks of a part, dry."""
        import numpy as np

        with quiet_stderr():
            if score.strikes:
                player: StrokePlayer | Synth = StrokePlayer(score, self._pool(font))
            else:
                player = Synth(font, score.events)
                for event in score.events:
                    if event.message.type == "program_change":
                        self._hold(font, event.message.program)
        blocks = []
        for _ in range(-(-frames // BLOCK)):
            memory = (ctypes.c_float * (2 * BLOCK))()
            player.fill(memory)
            blocks.append(np.frombuffer(memoryview(memory), np.float32).reshape(-1, 2))
        player.close()
        return blocks

    def _pool(self, font: Soundfont) -> StrokePool:
        if font not in self._pools:
            self._pools[font] = StrokePool(font)
        return self._pools[font]

    def _hold(self, font: Soundfont, program: int) -> None:
        """Keep the samples of a program read, by a synthesiser on which a channel has it."""
        if (font, program) in self._held or len(self._held) == MOST_HELD:
            return
        engine, channels = self._holding.get(font) or (None, iter(()))
        channel = next(channels, None)
        if engine is None or channel is None:
            engine = Engine(font)
            channels = iter([each for each in range(CHANNELS) if each != DRUM_CHANNEL])
            self._holding[font] = engine, channels
            channel = next(channels)
        engine.choose(channel, program)
        self._held[font, program] = engine


def _mixed(
    dry: Sequence[Sequence[Samples]],
    band: Sequence[Score],
    settings: MixSettings,
    soft: Sequence[str],
) -> Samples:
    """The parts in their room, at their levels, as loud as all that is heard.

    soft: the parts that play softly.
    """
    import numpy as np

    from groove.sound.mix.block_store import BlockStore
    from groove.sound.mix.mastering import master
    from groove.sound.mix.mixdown import channels, expected_loudness, mix_down
    from groove.sound.mix.recording import Passage, blocks_of, record
    from groove.sound.mix.strip import strips_of

    parts = tuple(score.name for score in band)
    strips = strips_of(band, settings)
    wet = [
        tuple(
            strip.process(block) if strip else block
            for strip, block in zip(strips, row, strict=True)
        )
        for row in zip(*dry, strict=True)
    ]
    memory = sum(block.nbytes for row in wet for block in row if block is not None)
    with BlockStore(None, memory) as store:
        recording, levels = record(wet, parts, store, lambda _frames: None)
        mixed = channels(levels, settings)
        softer = library.table("two-bars")["softer"]
        for part in set(soft) & set(mixed):
            at = mixed[part]
            mixed[part] = replace(at, fader=at.fader - softer, loudness=at.loudness - softer)
        peaks = {part: mixed[part].peaks(level.peaks) for part, level in levels.items()}
        passage = Passage(mix_down(recording, mixed), parts)
        mastered = master(passage, peaks, LOUDNESS, expected_loudness(mixed))
        return np.concatenate([block.copy() for block in blocks_of(mastered, mastered.frames)])


def _written(samples: Samples, end: int) -> bytes:
    """A WAV file of the samples up to the end of their ringing. end: the frame of the last note's
    end."""
    import numpy as np
    import soundfile

    cut = samples[: end + RINGS]
    fade = np.clip((end + RINGS - np.arange(len(cut))) / FADES, 0, 1).astype(np.float32)
    file = BytesIO()
    soundfile.write(file, cut * fade[:, np.newaxis], SAMPLE_RATE, "PCM_16", format="WAV")
    return file.getvalue()
