"""Reads a soundfont file as far as is needed to check it and to name it.

A soundfont is a RIFF file of the form `sfbk` with three lists, in this order: INFO (text about
the font), sdta (the samples), pdta (presets, instruments and sample headers, in nine chunks of
fixed-size records that point to one another by number). The layout and the record sizes follow
the SoundFont technical specification 2.01 (from memory), checked against five free soundfonts.

The synthesiser is a native library that does not check its input fully. Everything that could
harm it is therefore checked here first, without loading any samples; the records are checked in
`groove.sound.synth.soundfont_records`.
"""

from __future__ import annotations

import os
import re
import stat
import struct
from dataclasses import dataclass
from typing import TYPE_CHECKING, BinaryIO

from groove.errors import GrooveError
from groove.sound.synth.soundfont_records import (
    RECORD_BYTES,
    MalformedError,
    check_records,
    check_size,
    preset_keys,
    preset_numbers,
    preset_samples,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from pathlib import Path

LONGEST_TEXT, LONGEST_COMMENT = 160, 1_000
"""Characters of a text that are kept."""

MOST_TEXT_BYTES = 65_536
"""An INFO text may be this long by the specification."""

_HEADER = struct.Struct("<4sI")
_LICENCE_WORDS = re.compile(
    r"licen[cs]e|public domain|creative commons|\b(MIT|GPL|CC0|CC[ -]BY)\b", re.IGNORECASE
)


@dataclass(frozen=True)
class Info:
    """A soundfont's own texts, each one printable line, "" for a missing one."""

    name: str
    copyright: str
    comment: str

    @property
    def licence(self) -> str:
        """Its copyright line and, where that speaks of a licence, its comment."""
        comment = shortened(self.comment) if _LICENCE_WORDS.search(self.comment) else ""
        said = "; ".join(text for text in (self.copyright, comment) if text)
        return said or "licence not stated"


@dataclass(frozen=True)
class _Chunk:
    """One RIFF chunk: its four-letter name and where its content lies in the file, in bytes."""

    name: str
    start: int
    size: int

    @property
    def end(self) -> int:
        return self.start + self.size


def one_line(raw: bytes, most: int = LONGEST_TEXT) -> str:
    """Text from a soundfont as one printable line of at most `most` characters.

    >>> one_line(b"Grand\\tPiano\\r\\n\\x1b[31mred\\x00left over")
    'Grand Piano [31mred'
    """
    content = raw.split(b"\0", 1)[0]
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        text = content.decode("latin-1")
    text = " ".join("".join(c if c.isprintable() else " " for c in text).split())
    return shortened(text, most)


def shortened(text: str, most: int = LONGEST_TEXT) -> str:
    """The text, or as much of it as is allowed, with an ellipsis."""
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def read_info(path: Path) -> Info:
    """Check the soundfont at `path` and return its own texts.

    Raises `GrooveError` in one line for anything that is not a whole, well-formed soundfont.
    """
    try:
        status = path.stat()
        if stat.S_ISDIR(status.st_mode):
            raise GrooveError(f"soundfont {path}: this is a folder; give an .sf2 or .sf3 file")
        if not stat.S_ISREG(status.st_mode):
            raise GrooveError(f"soundfont {path}: not an ordinary file; give an .sf2 or .sf3 file")
        with path.open("rb") as file:
            return _read_checked(file, os.fstat(file.fileno()).st_size)
    except MalformedError as problem:
        raise GrooveError(f"soundfont {path}: {problem}") from None
    except FileNotFoundError:
        raise GrooveError(f"soundfont {path}: there is no such file") from None
    except PermissionError:
        raise GrooveError(f"soundfont {path}: no permission to read it") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) else "not a possible file name"
        raise GrooveError(f"soundfont {path!s}: cannot be read: {reason}") from None


def presets(path: Path) -> frozenset[tuple[int, int]]:
    """Bank and program, both from 0, of every sound in a soundfont that `read_info` has passed."""
    return preset_numbers(_records_of(path))


def keys(path: Path, bank: int, program: int) -> frozenset[int]:
    """The keys on which a preset of a soundfont that `read_info` has passed has a sound."""
    return preset_keys(_records_of(path), bank, program)


def samples(path: Path, bank: int, program: int) -> dict[int, frozenset[int]]:
    """The numbers of the samples that a preset plays on each key, as `keys`."""
    return preset_samples(_records_of(path), bank, program)


def _records_of(path: Path) -> dict[str, bytes]:
    with path.open("rb") as file:
        size = os.fstat(file.fileno()).st_size
        for outer in _chunks(file, _Chunk("RIFF", 12, size - 12)):
            if _at(file, outer.start, 4) == b"pdta":
                return _records(
                    file, _chunks(file, _Chunk("pdta", outer.start + 4, outer.size - 4))
                )
    return {}


def _records(file: BinaryIO, chunks: Iterable[_Chunk]) -> dict[str, bytes]:
    return {chunk.name: _at(file, chunk.start, chunk.size) for chunk in chunks}


def _at(file: BinaryIO, start: int, size: int) -> bytes:
    file.seek(start)
    return file.read(size)


def _read_checked(file: BinaryIO, file_bytes: int) -> Info:
    """Check the whole structure of an open soundfont; `MalformedError` for a fault."""
    if file_bytes == 0:
        raise MalformedError("the file is empty")
    head = file.read(12)
    if len(head) < 12 or head[:4] != b"RIFF":
        raise MalformedError("not a soundfont (an .sf2 or .sf3 file begins with RIFF)")
    form = head[8:12]
    if form != b"sfbk":
        kind = {b"WAVE": "a WAV sound", b"DLS ": "a DLS bank"}.get(
            form, "another kind of RIFF file"
        )
        raise MalformedError(f"this is {kind}, not a soundfont")
    declared = _HEADER.unpack(head[:8])[1] + 8
    if declared > file_bytes:
        raise MalformedError(
            f"the file is cut off: {file_bytes:,} bytes of {declared:,}; get a whole copy"
        )
    if declared < file_bytes:
        raise MalformedError(f"{file_bytes - declared:,} bytes follow the end of the soundfont")

    lists: dict[str, list[_Chunk]] = {}
    for outer in _chunks(file, _Chunk("RIFF", 12, file_bytes - 12)):
        kind = (
            _at(file, outer.start, 4).decode("latin-1")
            if outer.name == "LIST" and outer.size >= 4
            else ""
        )
        if kind in lists:
            raise MalformedError(f"damaged: it has two {kind} lists")
        if kind:
            lists[kind] = list(_chunks(file, _Chunk(kind, outer.start + 4, outer.size - 4)))
    if list(lists) != ["INFO", "sdta", "pdta"]:
        found = one_line(" ".join(lists).encode()) or "none"
        raise MalformedError(f"damaged: it needs the lists INFO sdta pdta, found {found}")
    no_samples = _Chunk("smpl", 0, 0)
    samples = next((chunk for chunk in lists["sdta"] if chunk.name == "smpl"), no_samples)
    _check_pdta(file, lists["pdta"], samples)
    return _info(file, lists["INFO"])


def _chunks(file: BinaryIO, parent: _Chunk) -> Iterator[_Chunk]:
    """The chunks inside `parent`, which must fill it to the byte."""
    at = parent.start
    while at < parent.end:
        if parent.end - at < _HEADER.size:
            raise MalformedError(f"damaged: {parent.end - at} stray bytes in {parent.name}")
        name, size = _HEADER.unpack(_at(file, at, _HEADER.size))
        chunk = _Chunk(one_line(name), at + _HEADER.size, size)
        if chunk.end > parent.end:
            raise MalformedError(
                f"damaged: chunk {chunk.name} says {size:,} bytes, "
                f"{parent.name} has {parent.end - chunk.start:,} left"
            )
        yield chunk
        at = chunk.end + (chunk.size % 2 and _pad_bytes(file, parent, chunk))


def _pad_bytes(file: BinaryIO, parent: _Chunk, chunk: _Chunk) -> int:
    """The bytes of padding after a chunk of odd size: 1, but compressed soundfonts may lack it
    after the list of samples (seen in two of three; FluidSynth reads them)."""
    samples = parent.name == "RIFF" and _at(file, chunk.start, 4) == b"sdta"
    return 0 if samples and _at(file, chunk.end, 4) == b"LIST" else 1


def _check_pdta(file: BinaryIO, chunks: list[_Chunk], samples: _Chunk) -> None:
    """Check that the nine chunks are there, hold whole records, and point only to what exists."""
    if [chunk.name for chunk in chunks] != list(RECORD_BYTES):
        found = " ".join(chunk.name for chunk in chunks)[:60] or "none"
        raise MalformedError(f"damaged: pdta needs {' '.join(RECORD_BYTES)}, found {found}")
    for chunk in chunks:
        check_size(chunk.name, chunk.size)
    check_records(
        _records(file, chunks),
        samples.size,
        lambda offset, size: _at(file, samples.start + offset, size),
    )


def _info(file: BinaryIO, chunks: list[_Chunk]) -> Info:
    """The three texts that name a soundfont and say whose it is."""
    texts = dict.fromkeys(("INAM", "ICOP", "ICMT"), "")
    for chunk in chunks:
        if chunk.name in texts:
            longest = LONGEST_COMMENT if chunk.name == "ICMT" else LONGEST_TEXT
            text = _at(file, chunk.start, min(chunk.size, MOST_TEXT_BYTES))
            texts[chunk.name] = one_line(text, longest)
    return Info(name=texts["INAM"], copyright=texts["ICOP"], comment=texts["ICMT"])
