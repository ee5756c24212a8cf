"""Writes FLAC and Ogg Vorbis with libsndfile."""

from __future__ import annotations

import os
from importlib import import_module
from typing import IO, TYPE_CHECKING, Any

import numpy as np

from groove.sound.files.ogg import set_serial
from groove.sound.files.pcm import PIECE
from groove.sound.files.riff import CHANNELS
from groove.sound.files.tags import vorbis_comments
from groove.sound.files.writers import AudioWriter, Contents
from groove.sound.samples import SAMPLE_RATE

if TYPE_CHECKING:
    from pathlib import Path

    from groove.sound.samples import Samples

VORBIS_QUALITY = 0.6
"""As large as the MP3 and 1 to 3 dB nearer to the music; at 0.5 the cymbals suffer (measured)."""

_SERIAL = 0x67726F76
"""Of the stream in an Ogg file: any number will do, as long as it is always the same."""

_CONTAINERS = {"flac": ("mutagen.flac", "FLAC"), "ogg": ("mutagen.oggvorbis", "OggVorbis")}

_ROOM = 1024
"""Bytes kept free for the tags beside their own text."""


class Sndfile(AudioWriter):
    """FLAC and Ogg Vorbis by libsndfile.

    It is made to leave room for the tags, so that they go in without moving the music. It gets
    short pieces only: 1.2.2 overflows its stack on long writes of Vorbis. Vorbis encodes the same
    sound differently where it is cut differently, so there all pieces but the last are equally
    long.
    """

    def __init__(self, path: Path, file: IO[bytes], format_: str, contents: Contents) -> None:
        import soundfile

        super().__init__(path, file)
        self._format, self._bits = format_, contents.bits
        self._quantiser = contents.quantiser()
        self._comments = vorbis_comments(contents.tags, contents.cues, SAMPLE_RATE)
        self._sink = _Sink(file)
        self._waiting: Samples = np.empty((0, CHANNELS), np.float32)
        vorbis = format_ == "ogg"
        self._encoder: Any = soundfile.SoundFile(
            self._sink,
            "w",
            SAMPLE_RATE,
            CHANNELS,
            "VORBIS" if vorbis else f"PCM_{contents.bits}",
            format=format_.upper(),
            compression_level=1 - VORBIS_QUALITY if vorbis else None,
        )
        length = sum(len(f"{name}={text}".encode()) + 4 for name, text in self._comments)
        self._encoder.comment = " " * (length + _ROOM)

    def _add(self, block: Samples) -> None:
        if self._format == "ogg":
            block = np.concatenate((self._waiting, block), dtype=np.float32)
            ready = len(block) - len(block) % PIECE
            block, self._waiting = block[:ready], block[ready:]
        self._encode(block)

    def _encode(self, block: Samples) -> None:
        for at in range(0, len(block), PIECE):
            self._encoder.write(self._converted(block[at : at + PIECE]).reshape(-1, CHANNELS))
            self._sink.check()

    def _converted(self, piece: Samples) -> Any:
        if self._format == "ogg":
            return np.clip(piece, -1, 1)
        return self._quantiser.int16(piece) if self._bits == 16 else self._quantiser.int32(piece)

    def _end(self) -> None:
        self._encode(self._waiting)
        self._encoder.close()
        self._sink.check()
        self._put_tags()
        if self._format == "ogg":
            set_serial(self._file, _SERIAL)

    def _put_tags(self) -> None:
        """Write the tags into the room left for them. Raises OSError if the system refuses."""
        mutagen: Any = import_module("mutagen")
        module, kind = _CONTAINERS[self._format]
        self._file.seek(0)
        try:
            container: Any = getattr(import_module(module), kind)(self._file)
            container.tags.clear()
            container.tags.extend(self._comments)
            self._file.seek(0)
            container.save(self._file)
        except mutagen.MutagenError as error:  # which hides the error of the system
            cause = error.args[0] if error.args else None
            raise cause if isinstance(cause, OSError) else OSError(str(error)) from None

    def abandon(self) -> None:
        """Close the file unfinished."""
        self._sink.closed = True
        self._encoder.close()
        super().abandon()


class _Sink:
    """A file for libsndfile that keeps the first OSError, as libsndfile cannot pass one on."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file
        self._error: OSError | None = None
        self.closed = False

    def check(self) -> None:
        """Raise the OSError that was kept, if any."""
        if self._error:
            raise self._error

    def write(self, data: bytes) -> int:
        if not self.closed and not self._error:
            try:
                self._file.write(data)
            except OSError as error:
                self._error = error
        return len(data)

    def seek(self, offset: int, whence: int = os.SEEK_SET) -> int:
        try:
            return self._file.seek(offset, whence)
        except OSError as error:
            self._error = self._error or error
            return 0

    def tell(self) -> int:
        return self._file.tell()

    def read(self, count: int) -> bytes:
        return self._file.read(count)
