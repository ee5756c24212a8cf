"""Audio files, written block by block: WAV, FLAC, MP3 and Ogg Vorbis.

The same sound makes the same bytes, however it is cut into blocks. No audio is kept in memory, so
an hour takes no more of it than a minute. Each file may be written in a thread of its own; the
formats that take long to encode have one anyway.
"""

from __future__ import annotations

import contextlib
import stat
from contextlib import contextmanager
from typing import IO, TYPE_CHECKING

from groove.errors import GrooveError, nearest
from groove.sound.files.background import BackgroundWriter
from groove.sound.files.sndfile import Sndfile
from groove.sound.files.writers import AudioWriter, Contents, Mp3, Wav, in_words
from groove.sound.options import BITS, FORMATS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from groove.sound.files.riff import Cue, Loop
    from groove.sound.files.tags import Tags


@contextmanager
def open_audio(
    path: Path,
    format_: str,
    *,
    bits: int = 24,
    tags: Tags | None = None,
    cues: Sequence[Cue] = (),
    loop: Loop | None = None,
    seed: int = 0,
) -> Iterator[AudioWriter | BackgroundWriter]:
    """A file of 44.1 kHz stereo to write blocks to; whole when the block of `with` ends.

    format_: one of FORMATS, whatever the path's suffix. bits: 16 or 24, for WAV and FLAC.
    cues: in order of frames. loop: for WAV. seed: of the dither of 16 bits; stems that will be
    added up deserve different ones. After an exception no file is left at `path`. Raises
    GrooveError for a path that cannot be written and a disk that is full, and ValueError for
    other bits, a loop that ends after the audio and no audio at all.
    """
    if format_ not in FORMATS:
        raise GrooveError(f"audio format {format_!r} is unknown; {nearest(format_, FORMATS)}")
    if bits not in BITS:
        raise ValueError(f"bits are 16 or 24, found {bits}")
    with in_words(path):
        file = path.open("wb+")
    audio: AudioWriter | BackgroundWriter | None = None
    done = False
    try:
        with in_words(path):
            audio = _writer(path, file, format_, Contents(bits, tags, cues, loop, seed))
        yield audio
        audio.finish()
        with in_words(path):
            file.close()
        done = True
    finally:
        if not done:
            _discard(path, file, audio)


def _writer(
    path: Path, file: IO[bytes], format_: str, contents: Contents
) -> AudioWriter | BackgroundWriter:
    if format_ == "wav":
        return Wav(path, file, contents)
    if format_ == "mp3":
        return BackgroundWriter(Mp3(path, file, contents))
    return BackgroundWriter(Sndfile(path, file, format_, contents))


def _discard(path: Path, file: IO[bytes], audio: AudioWriter | BackgroundWriter | None) -> None:
    """Close everything and leave no file, even if one of these steps fails."""
    with contextlib.suppress(Exception):
        if audio:
            audio.abandon()
    with contextlib.suppress(OSError):
        file.close()
    with contextlib.suppress(OSError):
        if stat.S_ISREG(path.stat().st_mode):
            path.unlink()
