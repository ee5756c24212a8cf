"""Some music for the tests of audio files, written and read back."""

from __future__ import annotations

import struct
from typing import TYPE_CHECKING, Any

import numpy as np
import soundfile
from numpy.typing import NDArray

from groove.sound.files.formats import open_audio
from groove.sound.files.riff import Cue, Loop
from groove.sound.files.tags import Tags

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

RATE = 44_100
TAGS = Tags(
    title="Baião for Two in F# minor (without bass)",
    key="F#m",
    tempo=96.5,
    genre="Baião backing track",
    comment="without bass: 12 bars of 4/4 in F# minor, straight at 96.5",
    encoder="groove 0.1.0",
    licence="Sounds from Some Soundfont (MIT licence)",
)
CUES = (Cue(0, "count-in"), Cue(20_001, "chorus 1"), Cue(60_002, "chorus 2, odd"))
LOOP = Loop(20_001, 88_000)
LOSSLESS = (("wav", 16), ("wav", 24), ("flac", 16), ("flac", 24))
EVERY = (*LOSSLESS, ("mp3", 24), ("ogg", 24))

Sound = NDArray[np.float32]


def music(frames: int = 2 * RATE, seed: int = 1) -> Sound:
    """A chord with an attack every half second, a little different left and right."""
    at = np.arange(frames) / RATE
    fade = np.exp(-4 * (at % 0.5))
    left = sum(np.sin(2 * np.pi * pitch * at) for pitch in (220, 277.2, 329.6)) * fade * 0.2
    noise = np.random.default_rng(seed).standard_normal(frames) * fade * 0.02
    return np.stack([left + noise, 0.7 * left - noise], axis=1).astype(np.float32)


def written(path: Path, format_: str, sound: Sound, step: int = 5000, **options: Any) -> Path:
    """A file of `sound`, handed over in blocks of `step` frames."""
    with open_audio(path, format_, **options) as out:
        for first in range(0, len(sound), step):
            out.write(sound[first : first + step])
    return path


def read_back(path: Path) -> NDArray[np.float64]:
    """All frames of a file, as libsndfile reads them."""
    sound, rate = soundfile.read(path, dtype="float64", always_2d=True)
    assert rate == RATE
    return sound


def chunks(content: bytes) -> Iterator[tuple[bytes, bytes]]:
    """The chunks of a RIFF form or list (after its name and size): name and content."""
    at = 4
    while at < len(content):
        name, size = struct.unpack_from("<4sI", content, at)
        assert at + 8 + size <= len(content), f"{name} is longer than what holds it"
        yield name, content[at + 8 : at + 8 + size]
        at += 8 + size + size % 2
    assert at == len(content), "the last chunk is not padded to an even length"
