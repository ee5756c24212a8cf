"""The zip of a pack: writes it, and checks one that is there byte for byte."""

from __future__ import annotations

import hashlib
import io
import json
import shutil
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import IO, Any, cast

from groove.handout.pack.folder import MANIFEST

DATE = (1980, 1, 1, 0, 0, 0)
"""The earliest that a zip can hold."""
MODE = 0o100644
UNIX = 3
BLOCK = 1 << 20  # bytes


def write_zip(target: Path | IO[bytes], files: Mapping[str, Path], top: str) -> None:
    """Zip files under a folder named `top`, so that nothing is scattered.

    files: where each is, by its name; the manifest among them, whose digest is the zip's comment.
    They are stored as they are: sound and PDF are packed already, and how others would be packed
    differs from one zlib to another.
    """
    sizes = {name: path.stat().st_size for name, path in files.items()}
    mark = _mark(files[MANIFEST].read_bytes())
    _write(target, sizes, lambda name: files[name].open("rb"), top, mark)


def _write(
    target: Path | IO[bytes],
    sizes: Mapping[str, int],
    opened: Callable[[str], IO[bytes]],
    top: str,
    mark: bytes,
) -> None:
    """Write a zip of files, given by their sizes and opened by their names."""
    with zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as archive:
        for name, size in sizes.items():
            entry = zipfile.ZipInfo(f"{top}/{name}", DATE)
            entry.create_system, entry.external_attr = UNIX, MODE << 16
            entry.file_size = size
            with opened(name) as source, archive.open(entry, "w") as packed:
                shutil.copyfileobj(source, packed, BLOCK)
        archive.comment = mark


def is_zip_of(path: Path, files: Mapping[str, Path], top: str) -> bool:
    """True if `path` holds, byte for byte, what `write_zip` would write there."""
    if path.is_symlink() or not path.is_file():
        return False
    expected = _Expected()
    write_zip(cast("IO[bytes]", expected), files, top)
    return expected.is_in(path)


def is_unedited_zip(path: Path) -> bool:
    """True if a zip is as some run made it: its manifest has the digests of all its files, and each
    of its bytes is one that `write_zip` would write."""
    try:
        with zipfile.ZipFile(path) as archive:
            top = archive.infolist()[0].filename.partition("/")[0]
            entries = {
                entry.filename.removeprefix(f"{top}/"): entry for entry in archive.infolist()
            }
            manifest = archive.read(entries[MANIFEST])
            listed = {file["path"]: file["sha256"] for file in json.loads(manifest)["files"]}
            listed[MANIFEST] = hashlib.sha256(manifest).hexdigest()
            if listed != {name: _digest(archive, entry) for name, entry in entries.items()}:
                return False
            expected = _Expected()
            sizes = {name: entry.file_size for name, entry in entries.items()}
            target = cast("IO[bytes]", expected)
            _write(target, sizes, lambda name: archive.open(entries[name]), top, _mark(manifest))
    except (OSError, ValueError, LookupError, TypeError, zipfile.BadZipFile):
        return False
    return not path.is_symlink() and expected.is_in(path)


def is_marked_with(path: Path, manifest: bytes) -> bool:
    """True if a zip was made with this manifest; its files may have changed since."""
    try:
        with zipfile.ZipFile(path) as archive:
            return archive.comment == _mark(manifest)
    except (OSError, zipfile.BadZipFile):
        return False


def _mark(manifest: bytes) -> bytes:
    return hashlib.sha256(manifest).hexdigest().encode()


def _digest(archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> str:
    whole = hashlib.sha256()
    with archive.open(entry) as file:
        while block := file.read(BLOCK):
            whole.update(block)
    return whole.hexdigest()


class _Expected(io.RawIOBase):
    """A file to write to that keeps only the length and the digest of each piece, by its place.

    A zip's writer goes back to fill in the head of a file: the later piece counts.
    """

    def __init__(self) -> None:
        self.at = self.size = 0
        self.pieces: dict[int, tuple[int, bytes]] = {}

    def seekable(self) -> bool:
        return True

    def tell(self) -> int:
        return self.at

    def seek(self, offset: int, whence: int = 0, /) -> int:
        self.at = offset + (0, self.at, self.size)[whence]
        return self.at

    def write(self, data: Any, /) -> int:
        self.pieces[self.at] = len(data), hashlib.sha256(data).digest()
        self.at += len(data)
        self.size = max(self.size, self.at)
        return len(data)

    def is_in(self, path: Path) -> bool:
        """True if a file is of these pieces and nothing else."""
        with path.open("rb") as file:
            for _, (length, digest) in sorted(self.pieces.items()):
                if hashlib.sha256(file.read(length)).digest() != digest:
                    return False
            return not file.read(1)
