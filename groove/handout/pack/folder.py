"""The pack's folder: which files are ours, which are still valid, and how new ones get there.

While a pack is being made, the folder holds another one, `STATE`: the names that are ours, a
record of each job that is done, and where jobs work. It goes when the pack is whole. So a run that
was killed at any moment can be continued, and files of other origin are never touched.
"""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from dataclasses import asdict, dataclass
from itertools import count
from pathlib import Path
from typing import Any

from groove.errors import GrooveError
from groove.handout.served import OVERVIEW

STATE = ".groove-pack"
MANIFEST = "manifest.json"
INDEX = OVERVIEW
CREDITS = "CREDITS.txt"
FORMAT = 1
_NAMES, _RECORD = "names.json", "done-"
_OURS = re.compile(r"([^/\\.\0][^/\\\0]*/)?[^/\\.\0][^/\\\0]*")
"""A name of ours, in any script: no way out of the folder, nothing hidden."""


@dataclass(frozen=True, slots=True)
class Made:
    """A file that is made: its size in bytes, SHA-256, and the fingerprint of its sources."""

    path: str
    size: int
    sha256: str
    fingerprint: str


@dataclass(frozen=True, slots=True)
class Earlier:
    """The state that earlier runs left. track: of which track the pack is. names: of our files.
    made: the files made, by path; one that a broken run made again has two entries."""

    track: str | None
    names: frozenset[str]
    made: Mapping[str, tuple[Made, ...]]

    def digests(self, path: str) -> frozenset[str]:
        """SHA-256 of all that earlier runs made under this name."""
        return frozenset(made.sha256 for made in self.made.get(path, ()))


@dataclass(frozen=True, slots=True)
class Aside:
    """A file that was not as it was made: its name in the pack, and the name it has now in the
    same folder."""

    path: str
    kept_as: str


def earlier(folder: Path) -> Earlier:
    """Read what earlier runs left in a folder; a file that can't be read counts as missing."""
    manifest = _read(folder / MANIFEST)
    claims = _read(folder / STATE / _NAMES)
    entries = _entries(manifest.get("files") if manifest.get("pack") == FORMAT else None)
    names = {made.path for made in entries}
    if manifest.get("pack") == FORMAT:
        names |= {MANIFEST} | _own([manifest.get("zip")])
    names |= _own(claims.get("names"))
    for record in sorted((folder / STATE).glob(f"{_RECORD}*.json")):
        recorded = _entries(_read(record).get("files"))
        entries += recorded
        names |= {made.path for made in recorded}
    made: dict[str, tuple[Made, ...]] = {}
    for entry in entries:
        made[entry.path] = (*made.get(entry.path, ()), entry)
    track = claims.get("track", manifest.get("track") if names else None)
    return Earlier(track if isinstance(track, str) else None, frozenset(names), made)


def _read(path: Path) -> dict[str, Any]:
    try:
        content = json.loads(path.read_bytes())
    except (OSError, ValueError, RecursionError):
        return {}
    return content if isinstance(content, dict) else {}


def _own(names: Any) -> set[str]:
    given = names if isinstance(names, list) else []
    return {name for name in given if isinstance(name, str) and _OURS.fullmatch(name)}


def _entries(files: Any) -> list[Made]:
    found = []
    for entry in files if isinstance(files, list) else []:
        with suppress(KeyError, TypeError):
            made = Made(*(entry[name] for name in ("path", "size", "sha256", "fingerprint")))
            if _own([made.path]):
                found.append(made)
    return found


def check_ours(folder: Path, names: Sequence[str], known: Earlier, track: str) -> frozenset[str]:
    """The names at which files stand that no earlier run is known to have made.

    Where a pack has lost its manifest, or it is damaged, that is most of them. Raises GrooveError
    for a folder of other files or of another track's pack, and for a folder or link at a name
    that a file of the pack needs.
    """
    if os.path.lexists(folder) and not folder.is_dir():
        raise GrooveError(f"{folder}: a file stands where the pack's folder should go")
    if known.track not in (None, track):
        raise GrooveError(
            f"{folder}: holds the pack of another track, {known.track}; choose another folder"
        )
    if (folder / STATE).is_symlink():
        raise GrooveError(f"{folder / STATE}: a link stands where jobs should work")
    for name in names:
        path = folder / name
        if path.parent != folder and (path.parent.is_symlink() or path.parent.is_file()):
            raise GrooveError(f"{path.parent}: not a folder of this pack; choose another folder")
        if path.is_dir() and not path.is_symlink():
            raise GrooveError(f"{path}: a folder stands where a file of the pack should go")
    there = [name for name in names if os.path.lexists(folder / name)]
    unknown = [name for name in there if name not in known.names]
    if unknown and known.track is None and 2 * len(there) < len(names):
        raise GrooveError(
            f"{folder / unknown[0]}: there already, and not from an earlier pack; choose another "
            "folder"
        )
    return frozenset(unknown)


def set_aside(path: Path) -> Path:
    """Rename a file to a free name beside it, ``index-kept.html`` or ``index-kept-2.html``."""
    for number in count(1):
        kept = path.with_stem(f"{path.stem}-kept" + (f"-{number}" if number > 1 else ""))
        if not os.path.lexists(kept):
            path.rename(kept)
            return kept
    raise AssertionError


def still_good(
    folder: Path, wanted: Mapping[str, str], known: Earlier, *, quickly: bool = False
) -> dict[str, Made]:
    """Of the wanted files, those that are there as they should be.

    wanted: fingerprints by path. Every byte is read, on several cores; or, quickly, only the size
    of each.
    """
    maybe = [
        made
        for path, fingerprint in wanted.items()
        for made in known.made.get(path, ())
        if made.fingerprint == fingerprint
    ]
    with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        good = list(pool.map(lambda made: _is_there(folder, made, quickly), maybe))
    return {made.path: made for made, is_good in zip(maybe, good, strict=True) if is_good}


def _is_there(folder: Path, made: Made, quickly: bool) -> bool:
    path = folder / made.path
    try:
        return (
            not path.is_symlink()
            and path.stat().st_size == made.size
            and (quickly or digest(path) == made.sha256)
        )
    except OSError:
        return False


def digest(path: Path) -> str:
    """SHA-256 of a file."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


@contextmanager
def in_words(folder: Path) -> Iterator[None]:
    """Turn an OSError in a folder into a one-line GrooveError."""
    try:
        yield
    except OSError as error:
        raise GrooveError(f"{folder}: can't be written: {error.strerror or error}") from None


@contextmanager
def claimed(folder: Path, names: Iterable[str], known: Earlier, track: str) -> Iterator[Path]:
    """Claim names in the folder, and keep other runs out meanwhile. Yields the state folder.

    At the end unfinished work of this run is removed; if all went well, all of the state is.
    """
    new = [path for path in (folder, *folder.parents) if not path.exists()]
    state = folder / STATE
    whole = False
    try:
        state.mkdir(parents=True, exist_ok=True)
        with _locked(state / "lock", folder):
            try:
                _sweep(state)
                claim = {"track": track, "names": sorted({*names, *known.names})}
                write_whole(state / _NAMES, json.dumps(claim).encode())
                yield state
                whole = True
            finally:
                _sweep(state)
                if whole or not any(state.glob(f"{_RECORD}*")):
                    shutil.rmtree(state, ignore_errors=True)
    finally:
        for path in new:
            with suppress(OSError):
                path.rmdir()


@contextmanager
def _locked(path: Path, folder: Path) -> Iterator[None]:
    """A lock that one run holds at a time; the system frees it however that run ends."""
    import fcntl

    with path.open("wb") as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError:
            raise GrooveError(f"{folder}: another run is making this pack just now") from None
        yield


def _sweep(state: Path) -> None:
    """Remove the files of unfinished jobs."""
    for left in [*state.glob("work-*"), *state.glob("*.part")]:
        if left.is_dir():
            shutil.rmtree(left, ignore_errors=True)
        else:
            left.unlink(missing_ok=True)


def write_whole(path: Path, content: bytes) -> None:
    """Write a file of the state folder, whole or not at all."""
    part = path.with_name(f"{path.name}.part")
    part.write_bytes(content)
    part.replace(path)


def put(
    folder: Path,
    work: Path,
    files: Mapping[str, Path],
    fingerprints: Mapping[str, str],
    before: Mapping[str, Collection[str]],
) -> tuple[tuple[Made, ...], tuple[Aside, ...]]:
    """Give files that were made in `work` their names in the pack.

    files: where each is, by its name in the pack, in the order in which they get their names.
    fingerprints: of what each was made from. before: digests of what earlier runs made under each
    name; a file that is none of these is set aside. Returns what was made and what was set aside.

    What is made is on record before the first file moves, so that a run which is killed in
    between knows it again.
    """
    made = tuple(
        Made(path, place.stat().st_size, digest(place), fingerprints.get(path, ""))
        for path, place in files.items()
    )
    name = hashlib.sha256("\0".join(files).encode()).hexdigest()[:24]
    record = json.dumps({"files": [asdict(each) for each in made]}).encode()
    (work / _NAMES).write_bytes(record)
    (work / _NAMES).replace(folder / STATE / f"{_RECORD}{name}.json")
    aside = []
    for each in made:
        target = folder / each.path
        target.parent.mkdir(exist_ok=True)
        if os.path.lexists(target) and not _is_one_of(target, {each.sha256, *before[each.path]}):
            aside.append(Aside(each.path, set_aside(target).name))
        files[each.path].replace(target)
    return made, tuple(aside)


def remove_stale(
    folder: Path, wanted: Iterable[str], known: Earlier
) -> tuple[list[str], list[str]]:
    """Remove files of an earlier pack that this one does not have. Returns the names of those
    removed and of those left, since they are no longer as they were made."""
    removed, left = [], []
    for name in sorted(known.names - set(wanted)):
        path = folder / name
        if not os.path.lexists(path) or path.parent.is_symlink():
            continue
        if _is_one_of(path, known.digests(name)):
            path.unlink()
            removed.append(name)
            if path.parent != folder:
                with suppress(OSError):
                    path.parent.rmdir()
        else:
            left.append(name)
    return removed, left


def _is_one_of(path: Path, digests: Collection[str]) -> bool:
    """True if a file has one of these digests; a link or a folder has none."""
    return not path.is_symlink() and path.is_file() and digest(path) in digests
