"""Audio files from MIDI: the stems are played together and measured, then every file is written.

Two passes keep the memory small however long the track is, and both use all cores: the first
plays the stems, side by side, onto tapes and measures their sum; that gives the gain; the second
puts each mix together from the tapes, masters it and writes it.
"""

from __future__ import annotations

import contextlib
import errno
import stat
import wave
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from groove.errors import GrooveError
from groove.sound.mixes import Mix, mixes
from groove.sound.recording import Loop, Passage, Recording, record
from groove.sound.side_by_side import side_by_side
from groove.sound.soundfont_file import presets
from groove.sound.stems import NO_SOUND, play_stems
from groove.sound.synth import Room
from groove.sound.tape import FRAME_BYTES, Shelf
from groove.sound.timeline import SAMPLE_RATE, missing_programs, scores

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    import mido

    from groove.sound.side_by_side import Step
    from groove.sound.soundfonts import Soundfont
    from groove.sound.synth import Samples

PLAYING_SHARE = 0.8
"""Of the whole time."""


@dataclass(frozen=True)
class AudioFile:
    """A file to write: its mix, its format and where."""

    mix: Mix
    format: str
    path: Path


@dataclass(frozen=True)
class AudioFacts:
    seconds: float
    missing: tuple[str, ...]


def render(
    midi: mido.MidiFile,
    soundfont: Soundfont,
    files: Sequence[AudioFile],
    *,
    bits: int = 16,
    room: Room = Room(),
    loop: tuple[float, float] | None = None,
    progress: Callable[[float], None] | None = None,
) -> AudioFacts:
    tell = progress or (lambda _fraction: None)
    bounds = Loop(*(round(at * SAMPLE_RATE) for at in loop)) if loop else None
    band = scores(midi)
    parts = tuple(score.name for score in band)
    whole = Mix("", parts)
    last = max(score.end for score in band)
    folder = files[0].path.parent
    heard = 0

    def hear(block: Samples, blocks: tuple[Samples | None, ...]) -> None:
        nonlocal heard
        heard += len(block)
        tell(PLAYING_SHARE * min(1, heard / last))

    missing = missing_programs(band, presets(soundfont.path))
    wanted = [file.mix for file in files] + ([whole] if bounds else [])
    try:
        with (
            Shelf(folder) as shelf,
            contextlib.closing(play_stems(band, soundfont, room)) as playing,
        ):
            recording = record(playing, parts, wanted, shelf, hear)
            if recording.peak < NO_SOUND:
                raise GrooveError(f"{soundfont.name} has no sound for anything in this track")
            gain = 0.9 / recording.peak
            jobs = [
                partial(_write, file, Passage(recording, file.mix.parts, bounds), gain, bits)
                for file in files
            ]
            frames = Passage(recording, parts, bounds).frames
            total = frames * len(jobs)
            side_by_side(
                jobs, lambda done: tell(PLAYING_SHARE + (1 - PLAYING_SHARE) * done / total)
            )
    except OSError as error:
        raise GrooveError(f"{files[0].path}: {_reason(error, last)}") from None
    return AudioFacts(frames / SAMPLE_RATE, missing)


def _write(file: AudioFile, passage: Passage, gain: float, bits: int, step: Step) -> None:
    full_scale = float(2 ** (bits - 1) - 1)
    with file.path.open("wb", buffering=0) as raw, wave.open(raw, "wb") as wav:
        wav.setparams((2, bits // 8, SAMPLE_RATE, passage.frames, "NONE", ""))
        packed = np.empty(0, np.uint8)
        for block in passage.blocks():
            np.multiply(block, gain * full_scale, out=block)
            np.rint(block, out=block)
            if packed.size < 3 * block.size + 1:
                packed = np.empty(3 * block.size + 1, np.uint8)
            ints = np.ndarray(block.size, "<i4", packed.data, strides=(3,))
            ints[:] = block.reshape(-1)
            wav.writeframesraw(packed[: 3 * block.size].data)
            step(len(block))


def _reason(error: OSError, frames: int) -> str:
    """Why a file could not be written, in words that help."""
    if error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        megabytes = frames * FRAME_BYTES / 1e6
        return f"no room to write it; that takes about {megabytes:,.0f} MB until it is done"
    return f"cannot be written: {error.strerror}"
