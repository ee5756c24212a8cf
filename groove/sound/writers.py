"""What writes each format of audio: WAV by hand, MP3 by LAME, FLAC and Ogg Vorbis by libsndfile."""

from __future__ import annotations

import errno
import os
from abc import ABC, abstractmethod
from contextlib import contextmanager
from dataclasses import dataclass
from importlib import import_module
from typing import IO, TYPE_CHECKING, Any

import numpy as np

from groove.errors import GrooveError
from groove.sound.mp3 import frame_bytes, info_frame
from groove.sound.ogg import set_serial
from groove.sound.pcm import PIECE, Quantiser
from groove.sound.riff import CHANNELS, Cue, final_sizes, wav_header
from groove.sound.tags import Tags, id3_tag, info_fields, vorbis_comments
from groove.sound.timeline import SAMPLE_RATE

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from groove.sound.synth import Samples

MP3_KILOBITS = 192
"""Constant rate, so that length and seeking are right in every player; 1.4 MB a minute. Measured
on a rendered band, the error lies 28 dB under the music below 500 Hz, 16 dB at 2 to 6 kHz and
9 dB at 6 to 12 kHz; at 160 it is 4, 2 and 2 dB nearer."""

MP3_QUALITY = 5
"""LAME's scale of care, 2 slow to 7 fast: as near to the music as 2 in half the time."""

MP3_SCALE = np.float32(1 / 0.97)
"""What makes up for LAME, which lowers everything to 0.97 at this rate (measured)."""

VORBIS_QUALITY = 0.6
"""As large as the MP3 and 1 to 3 dB nearer to the music; at 0.5 the cymbals suffer (measured)."""

OVERSHOOT_DB = {"mp3": 1.3, "ogg": 0.9}
"""By how much the true peaks of what is played back may be above those of what went in: cutting
away what is not heard leaves waves higher. At most 1.3 and 0.9 on the demo's mixes (measured)."""

_SERIAL = 0x67726F76
"""Of the stream in an Ogg file: any number will do, as long as it is always the same."""

_CONTAINERS = {"flac": ("mutagen.flac", "FLAC"), "ogg": ("mutagen.oggvorbis", "OggVorbis")}

_ROOM = 1024
"""Bytes beside the tags' own text that are kept free for them."""


@dataclass(frozen=True, slots=True)
class Contents:
    """What a file is to hold beside the sound; see `open_audio`."""

    bits: int
    tags: Tags | None
    cues: Sequence[Cue]
    loop: tuple[int, int] | None
    seed: int

    def quantiser(self) -> Quantiser:
        """What makes whole numbers of the sound: with dither in 16 bits."""
        return Quantiser(self.bits, self.seed if self.bits == 16 else None)


class AudioFile(ABC):
    """An open file of audio; `write` takes blocks of floats, shape (frames, 2), full scale 1."""

    def __init__(self, path: Path, file: IO[bytes]) -> None:
        self._path, self._file = path, file
        self.frames = 0

    def write(self, block: Samples) -> None:
        """Add a block of any length. Raises GrooveError where the system refuses it."""
        with in_words(self._path):
            self._add(block)
        self.frames += len(block)

    def finish(self) -> None:
        """Write what only the end knows."""
        if not self.frames:
            raise ValueError("no audio was written")
        with in_words(self._path):
            self._end()
            self._file.flush()

    def abandon(self) -> None:
        """Let go of everything, where nothing more will come."""
        self._file.close()

    @abstractmethod
    def _add(self, block: Samples) -> None: ...

    @abstractmethod
    def _end(self) -> None: ...


class Wav(AudioFile):
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
        self._last = loop[1] if loop else 0
        file.write(header)

    def _add(self, block: Samples) -> None:
        for piece in self._quantiser.pieces(block):
            self._file.write(self._convert(piece).data)

    def _end(self) -> None:
        if self._last > self.frames:
            raise ValueError(f"the loop ends at {self._last}, after the audio at {self.frames}")
        for at, size in final_sizes(self._header, self.frames * self._block).items():
            self._file.seek(at)
            self._file.write(size)


class Mp3(AudioFile):
    """Tag and an empty frame first, both filled in at the end.

    The encoder is given 16 bits without dither: its own noise is far above theirs.
    """

    def __init__(self, path: Path, file: IO[bytes], contents: Contents) -> None:
        lameenc: Any = import_module("lameenc")
        super().__init__(path, file)
        self._tags, self._cues = contents.tags, contents.cues
        self._encoder = lameenc.Encoder()
        self._encoder.silence()
        self._encoder.set_bit_rate(MP3_KILOBITS)
        self._encoder.set_in_sample_rate(SAMPLE_RATE)
        self._encoder.set_channels(CHANNELS)
        self._encoder.set_quality(MP3_QUALITY)
        self._quantiser = Quantiser(16, None)
        self._header, self._bytes = b"", 0
        file.write(id3_tag(contents.tags, contents.cues, 0, SAMPLE_RATE))
        file.write(bytes(frame_bytes(MP3_KILOBITS, SAMPLE_RATE)))

    def _add(self, block: Samples) -> None:
        for piece in self._quantiser.pieces(block * MP3_SCALE):
            self._put(self._encoder.encode(self._quantiser.int16(piece).tobytes()))

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


class Sndfile(AudioFile):
    """FLAC and Ogg Vorbis by libsndfile.

    It is made to leave room for the tags, so that they go in without moving the music. It gets
    short pieces only: 1.2.2 overflows its stack on long writes of Vorbis. What Vorbis makes of a
    sound depends on where it is cut, so there all pieces but the last are equally long.
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
        for piece in self._quantiser.pieces(block):
            self._encoder.write(self._converted(piece).reshape(-1, CHANNELS))
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
        """Fill the room that was left for them. Raises OSError where the system refuses it."""
        mutagen: Any = import_module("mutagen")
        module, kind = _CONTAINERS[self._format]
        self._file.seek(0)
        try:
            container: Any = getattr(import_module(module), kind)(self._file)
            container.tags.clear()
            container.tags.extend(self._comments)
            self._file.seek(0)
            container.save(self._file)
        except mutagen.MutagenError as error:  # which hides what the system said
            cause = error.args[0] if error.args else None
            raise cause if isinstance(cause, OSError) else OSError(str(error)) from None

    def abandon(self) -> None:
        self._sink.deaf = True
        self._encoder.close()
        super().abandon()


class _Sink:
    """A file for libsndfile, which has no way to hear that a disk is full: it is kept for us."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file
        self._error: OSError | None = None
        self.deaf = False

    def check(self) -> None:
        """Raise what went wrong since the last time."""
        if self._error:
            raise self._error

    def write(self, data: bytes) -> int:
        if not self.deaf and not self._error:
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


@contextmanager
def in_words(path: Path) -> Iterator[None]:
    """Turn what the system refuses into a line for people."""
    try:
        yield
    except OSError as error:
        full = error.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
        why = (
            "no room left to write it" if full else f"cannot be written: {error.strerror or error}"
        )
        raise GrooveError(f"{path}: {why}") from None
