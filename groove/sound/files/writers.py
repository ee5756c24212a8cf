"""Writes WAV, by hand, and MP3, with LAME; `sndfile.py` writes the other formats."""

from __future__ import annotations

import errno
from abc import ABC, abstractmethod
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO, TYPE_CHECKING

import numpy as np

from groove.errors import GrooveError
from groove.sound.files.mp3 import frame_bytes, info_frame, lame
from groove.sound.files.pcm import Quantiser
from groove.sound.files.riff import CHANNELS, Cue, Loop, final_sizes, wav_header
from groove.sound.files.tags import Tags, id3_tag, info_fields
from groove.sound.samples import SAMPLE_RATE

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from groove.sound.samples import Samples

MP3_KILOBITS = 192
"""Constant rate, so that length and seeking are right in every player; 1.4 MB a minute. Measured
on a rendered band, the error lies 28 dB under the music below 500 Hz, 16 dB at 2 to 6 kHz and
9 dB at 6 to 12 kHz; at 160 it is 4, 2 and 2 dB nearer."""

MP3_QUALITY = 5
"""LAME's quality scale, 2 slow to 7 fast: as near to the music as 2 in half the time."""

MP3_SCALE = np.float32(1 / 0.97)
"""Gain that makes up for LAME, which lowers everything to 0.97 at this rate (measured)."""

OVERSHOOT_DB = {"mp3": 1.3, "ogg": 0.9}
"""The dB by which true peaks of a decoded file may be above those that were encoded. Seldom
more than 1.3 and 0.9 on the demo's mixes (measured); then `production.py` writes the file again."""


@dataclass(frozen=True, slots=True)
class Contents:
    """The contents of a file beside its sound; see `open_audio`."""

    bits: int
    tags: Tags | None
    cues: Sequence[Cue]
    loop: Loop | None
    seed: int

    def quantiser(self) -> Quantiser:
        """The quantiser for these bits, with dither for 16."""
        return Quantiser(self.bits, self.seed if self.bits == 16 else None)


class AudioWriter(ABC):
    """An open file of audio; `write` takes blocks of floats, shape (frames, 2), full scale 1."""

    def __init__(self, path: Path, file: IO[bytes]) -> None:
        self._path, self._file = path, file
        self.frames = 0

    def write(self, block: Samples) -> None:
        """Add a block of any length. Raises GrooveError if the system refuses to write."""
        with in_words(self._path):
            self._add(block)
        self.frames += len(block)

    def finish(self) -> None:
        """Write the rest of the file, and the fields that depend on its length.

        Raises ValueError where no audio was written, or a loop ends after it.
        """
        if not self.frames:
            raise ValueError("no audio was written")
        with in_words(self._path):
            self._end()
            self._file.flush()

    def abandon(self) -> None:
        """Close the file unfinished."""
        self._file.close()

    @abstractmethod
    def _add(self, block: Samples) -> None: ...

    @abstractmethod
    def _end(self) -> None: ...


class Wav(AudioWriter):
    """Header first, with everything but the length."""

    def __init__(self, path: Path, file: IO[bytes], contents: Contents) -> None:
        super().__init__(path, file)
        bits, tags, loop = contents.bits, contents.tags, contents.loop
        self._block = CHANNELS * bits // 8
        self._quantiser = contents.quantiser()
        self._convert = self._quantiser.int16 if bits == 16 else self._quantiser.packed24
        header = wav_header(
            SAMPLE_RATE,
            bits,
            info=info_fields(tags) if tags else {},
            id3=id3_tag(tags, (), 0, SAMPLE_RATE),
            cues=contents.cues,
            loop=loop,
        )
        self._header = len(header)
        self._last = loop.end if loop else 0
        file.write(header)

    def _add(self, block: Samples) -> None:
        self._file.write(self._convert(block).data)

    def _end(self) -> None:
        if self._last > self.frames:
            raise ValueError(f"the loop ends at {self._last}, after the audio at {self.frames}")
        for at, size in final_sizes(self._header, self.frames * self._block).items():
            self._file.seek(at)
            self._file.write(size)


class Mp3(AudioWriter):
    """Tag and an empty frame first, both filled in at the end.

    The encoder is given 16 bits without dither: its own noise is far above theirs.
    """

    def __init__(self, path: Path, file: IO[bytes], contents: Contents) -> None:
        super().__init__(path, file)
        self._tags, self._cues = contents.tags, contents.cues
        self._encoder = lame(MP3_KILOBITS, CHANNELS, SAMPLE_RATE, MP3_QUALITY)
        self._quantiser = Quantiser(16, None)
        self._header, self._bytes = b"", 0
        file.write(id3_tag(contents.tags, contents.cues, 0, SAMPLE_RATE))
        file.write(bytes(frame_bytes(MP3_KILOBITS, SAMPLE_RATE)))

    def _add(self, block: Samples) -> None:
        self._put(self._encoder.encode(self._quantiser.int16(block * MP3_SCALE).tobytes()))

    def _put(self, music: bytes | bytearray) -> None:
        self._header += bytes(music[: 4 - len(self._header)])
        self._bytes += len(music)
        self._file.write(music)

    def _end(self) -> None:
        self._put(self._encoder.flush())
        self._file.seek(0)
        self._file.write(id3_tag(self._tags, self._cues, self.frames, SAMPLE_RATE))
        self._file.write(
            info_frame(self._header, self.frames, self._bytes, MP3_KILOBITS, SAMPLE_RATE)
        )


@contextmanager
def in_words(path: Path) -> Iterator[None]:
    """Turn an OSError into a one-line GrooveError that names the file."""
    try:
        yield
    except OSError as error:
        full = error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
        why = (
            "no room left to write it" if full else f"cannot be written: {error.strerror or error}"
        )
        raise GrooveError(f"{path}: {why}") from None
