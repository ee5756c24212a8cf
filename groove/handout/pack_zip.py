"""A pack as one zip: the same files give the same bytes, wherever and whenever it is made."""

from __future__ import annotations

import shutil
import zipfile
from collections.abc import Mapping, Sequence
from pathlib import Path

DATE = (1980, 1, 1, 0, 0, 0)
"""The earliest that a zip can hold."""
MODE = 0o100644
UNIX = 3


def write_zip(target: Path, files: Mapping[str, Path], top: str, mark: str) -> None:
    """Zip files, by their names, under a folder named `top`, so that nothing is scattered.

    The files are stored as they are: sound and PDF are packed already, and how others would be
    packed differs from one zlib to another. mark: a comment by which `is_zip_of` knows it again.
    """
    with zipfile.ZipFile(target, "w", zipfile.ZIP_STORED) as archive:
        for name, path in files.items():
            entry = zipfile.ZipInfo(f"{top}/{name}", DATE)
            entry.create_system, entry.external_attr = UNIX, MODE << 16
            entry.file_size = path.stat().st_size
            with path.open("rb") as source, archive.open(entry, "w") as packed:
                shutil.copyfileobj(source, packed, 1 << 20)
        archive.comment = mark.encode()


def is_zip_of(path: Path, names: Sequence[str], top: str, mark: str) -> bool:
    """Whether a zip with this mark and these files is there, and ends where it should."""
    try:
        with zipfile.ZipFile(path) as archive:
            there = [entry.filename for entry in archive.infolist()]
            return archive.comment == mark.encode() and there == [f"{top}/{n}" for n in names]
    except (OSError, zipfile.BadZipFile):
        return False
