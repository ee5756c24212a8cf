"""The files that describe a pack: overview, credits and manifest, those with which a site serves
it, and the zip of it all."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from groove.handout.pack.archive import is_unedited_zip, is_zip_of, write_zip
from groove.handout.pack.credits import credits_text
from groove.handout.pack.folder import (
    CREDITS,
    INDEX,
    MANIFEST,
    STATE,
    Aside,
    Earlier,
    Made,
    digest,
    put,
)
from groove.handout.pack.manifest import is_unedited_manifest, manifest
from groove.handout.pack.plan import SOUNDING, PackPlan
from groove.handout.served import APP, ICON, WORKER, site_files
from groove.wording import said, worded

if TYPE_CHECKING:
    from groove.sound.synth.soundfonts import Fonts

ABOUT = (INDEX, CREDITS, APP, WORKER, ICON, MANIFEST)


def is_whole(plan: PackPlan, place: Path, good: Mapping[str, Made], fonts: Fonts) -> bool:
    """True if ABOUT and the zip are there, byte for byte. good: the other files, by path."""
    contents = _contents(plan, place, good, fonts)
    if (place / STATE).exists() or not all(_has(place / name, contents[name]) for name in ABOUT):
        return False
    return is_zip_of(place / plan.zip_name, _zipped(plan, place, place), plan.stem)


def write_about(
    plan: PackPlan, place: Path, work: Path, made: Mapping[str, Made], fonts: Fonts
) -> dict[str, Path]:
    """Write into `work` those of ABOUT and the zip that the pack lacks or has with other bytes.

    made: the other files, by path. Returns where each is, by its name in the pack; the manifest
    comes last.
    """
    contents = _contents(plan, place, made, fonts)
    work.mkdir()
    for name, content in contents.items():
        (work / name).write_bytes(content)
    files = {name: work / name for name in ABOUT if not _has(place / name, contents[name])}
    zipped = _zipped(plan, place, work)
    if not is_zip_of(place / plan.zip_name, zipped, plan.stem):
        write_zip(work / plan.zip_name, zipped, plan.stem)
        files = {plan.zip_name: work / plan.zip_name} | files
    return files


def put_about(
    plan: PackPlan, place: Path, work: Path, files: Mapping[str, Path], known: Earlier
) -> tuple[Aside, ...]:
    """Give files that `write_about` has written their names. Returns what was set aside."""
    before = {name: set(known.digests(name)) for name in files}
    zip_path = place / plan.zip_name
    if MANIFEST in files and is_unedited_manifest(place / MANIFEST, zip_path):
        before[MANIFEST].add(digest(place / MANIFEST))
    if plan.zip_name in files and is_unedited_zip(zip_path):
        before[plan.zip_name].add(digest(zip_path))
    return put(place, work, files, {}, before)[1]


def _contents(
    plan: PackPlan, place: Path, made: Mapping[str, Made], fonts: Fonts
) -> dict[str, bytes]:
    """The contents of ABOUT, by name."""
    from groove.handout.pack.overview import Facts, index_html

    audio = {piece.path for piece in plan.pieces if piece.kind == "audio"}
    sounds = any(piece.kind in SOUNDING for piece in plan.pieces)
    texts = {piece.path for piece in plan.pieces if piece.kind == "post"}
    facts = {
        path: Facts(
            each.size,
            _seconds(place / path) if path in audio else None,
            (place / path).read_text("utf-8") if path in texts else "",
        )
        for path, each in made.items()
    }
    with worded(plan.form.lesson.words):
        contents = {
            INDEX: index_html(plan, facts, fonts).encode(),
            CREDITS: credits_text(plan.form, fonts, sounds).encode(),
        }
        contents |= _for_a_site(plan, made, contents)
        return contents | {MANIFEST: manifest(plan, made, contents, fonts)}


def _for_a_site(
    plan: PackPlan, made: Mapping[str, Made], contents: Mapping[str, bytes]
) -> dict[str, bytes]:
    """The files with which the pack is installed from a site. Its pages, and the charts that the
    overview shows, are kept on the device at once, what else a student opens as it is opened, but
    for sound and videos: there is much of that."""
    shown = [piece for piece in plan.pieces if piece.format == "svg"]
    first = {INDEX: hashlib.sha256(contents[INDEX]).hexdigest()}
    first |= {piece.path: made[piece.path].sha256 for piece in (*plan.page.pieces, *shown)}
    later = [
        piece.path
        for piece in plan.pieces
        if piece.kind not in SOUNDING and piece.path not in first
    ]
    return site_files(plan.form.title, said("language", "tag"), first, later)


def _seconds(path: Path) -> float | None:
    """The length of an audio file in seconds."""
    from mutagen import File

    with path.open("rb") as content:
        read = File(content)
    return read.info.length if read else None


def _zipped(plan: PackPlan, place: Path, about: Path) -> dict[str, Path]:
    """The paths of the files that go into the zip, by name. about: the folder of ABOUT."""
    paths = {piece.path: place / piece.path for piece in plan.pieces}
    return dict(sorted((paths | {name: about / name for name in ABOUT}).items()))


def _has(path: Path, content: bytes) -> bool:
    try:
        return not path.is_symlink() and path.read_bytes() == content
    except OSError:
        return False
