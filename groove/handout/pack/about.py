"""What tells of a pack: the overview, the credits, the manifest, and the zip of it all."""

from __future__ import annotations

import hashlib
import shutil
import zipfile
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from groove.handout.pack.credits import credits_text
from groove.handout.pack.folder import CREDITS, INDEX, MANIFEST, STATE, Made
from groove.handout.pack.manifest import manifest
from groove.handout.pack.plan import Plan

if TYPE_CHECKING:
    from groove.sound.synth.soundfonts import Soundfont

DATE = (1980, 1, 1, 0, 0, 0)
"""The earliest that a zip can hold."""
MODE = 0o100644
UNIX = 3

ABOUT = (INDEX, CREDITS, MANIFEST)


def _about(plan: Plan, made: Mapping[str, Made], font: Soundfont) -> dict[str, bytes]:
    """The content of the files that tell of the others."""
    from groove.handout.pack.overview import index_html

    sizes = {path: each.size for path, each in made.items()}
    with_audio = any(piece.kind == "audio" for piece in plan.pieces)
    told = {
        INDEX: index_html(plan, sizes, font).encode(),
        CREDITS: credits_text(plan.form, font, with_audio).encode(),
    }
    return told | {MANIFEST: manifest(plan, made, told, font)}


def _zipped(plan: Plan, about: Mapping[str, bytes]) -> tuple[list[str], str]:
    """The names of what goes into the zip, and its mark."""
    names = sorted([*(piece.path for piece in plan.pieces), *about])
    return names, hashlib.sha256(about[MANIFEST]).hexdigest()


def is_whole(plan: Plan, place: Path, good: Mapping[str, Made], font: Soundfont) -> bool:
    """Whether all of them are there as they should be. good: the other files, by path."""
    about = _about(plan, good, font)
    names, mark = _zipped(plan, about)
    same = all(_has(place / name, content) for name, content in about.items())
    begun = (place / STATE).exists()
    return same and not begun and is_zip_of(place / plan.zip_name, names, plan.stem, mark)


def ready_to_put(
    plan: Plan, place: Path, state: Path, made: Mapping[str, Made], font: Soundfont
) -> list[tuple[Path, Path]]:
    """The zip and the files that tell of the others, written: where they are and belong.

    Only those which aren't there as they should be; the manifest comes last.
    """
    about = _about(plan, made, font)
    names, mark = _zipped(plan, about)
    sources = {name: place / name for name in names}
    for name, content in about.items():
        sources[name] = state / f"{name}.part"
        sources[name].write_bytes(content)
    ready = [(sources[name], place / name) for name in about if not _has(place / name, about[name])]
    if not is_zip_of(place / plan.zip_name, names, plan.stem, mark):
        part = state / f"{plan.zip_name}.part"
        write_zip(part, sources, plan.stem, mark)
        ready.insert(0, (part, place / plan.zip_name))
    return ready


def _has(path: Path, content: bytes) -> bool:
    try:
        return not path.is_symlink() and path.read_bytes() == content
    except OSError:
        return False


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
