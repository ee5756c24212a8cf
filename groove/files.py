"""Writes files together: all of them get their final names, or none does."""

from __future__ import annotations

import fcntl
import os
import shutil
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

from groove.errors import GrooveError, StopError

WORK = ".groove-work-"
SECONDS_TO_LOCK = 60


@contextmanager
def written_together(
    targets: list[Path], say: Callable[[str], None] = lambda line: None
) -> Iterator[list[Path]]:
    """Yield temporary paths for files in any folders; at the end they take their final names.

    say: called with a line about each file that was there before. Folders are made where they do
    not exist. If anything fails before the end, the folders and the files in them stay as they
    were. Raises GrooveError, naming the file, where the system refuses, and StopError where the
    user stops it too late for that.
    """
    placed: list[Path] = []
    replaced = [path for path in targets if os.path.lexists(path)]
    try:
        with _together(targets, placed) as staged:
            yield staged
        for path in replaced:
            say(f"note: {path} was there before and has been replaced")
    except KeyboardInterrupt:
        if placed:
            raise StopError from None
        raise


def try_targets(targets: Iterable[str | Path]) -> None:
    """Raise GrooveError, naming the file, where one of some files can't be written.

    For a long job to call before it begins. Nothing is left behind.
    """
    with suppress(_TriedError), written_together([Path(target) for target in targets]):
        raise _TriedError


class _TriedError(Exception):
    """Ends a trial before a file is written."""


@contextmanager
def workplace(folder: Path) -> Iterator[Path]:
    """Yield a temporary folder in `folder`, which is made where it does not exist.

    At the end it is removed, and so is each folder that was made and is empty.
    """
    made = [path for path in (folder, *folder.parents) if not path.exists()]
    place: Path | None = None
    lock: int | None = None
    try:
        folder.mkdir(parents=True, exist_ok=True)
        _sweep(folder)
        place = Path(tempfile.mkdtemp(prefix=WORK, dir=folder))
        lock = os.open(place, os.O_RDONLY)
        fcntl.flock(lock, fcntl.LOCK_SH)
        yield place
    finally:
        if place:
            shutil.rmtree(place, ignore_errors=True)
        if lock is not None:
            os.close(lock)
        _remove(made)


@contextmanager
def _together(targets: list[Path], placed: list[Path]) -> Iterator[list[Path]]:
    """Like written_together; appends to `placed` each target that has its final name."""
    workplaces: dict[Path, Path] = {}
    staged: list[Path] = []
    folder = targets[0].parent if targets else Path()
    with ExitStack() as stack:
        try:
            _check_free(targets)
            for folder in dict.fromkeys(target.parent for target in targets):
                workplaces[folder] = stack.enter_context(workplace(folder))
            staged = [workplaces[target.parent] / target.name for target in targets]
            yield staged
            _check_free(targets)
            _take_names(staged, targets)
            placed += targets
        except OSError as error:
            known = {f"{path}": target for path, target in zip(staged, targets, strict=False)}
            known |= {f"{target}": target for target in targets}
            place = known.get(f"{error.filename}", min(targets, key=_room) if staged else folder)
            raise GrooveError(f"{place}: can't be written: {error.strerror or error}") from None
        except GrooveError as error:
            words = str(error)
            for folder, place in workplaces.items():
                words = words.replace(f"{place}", f"{folder}")
            if words == str(error):
                raise
            raise GrooveError(words) from None


def _room(path: Path) -> int:
    """Free bytes on the disk of a file that is to be written."""
    return shutil.disk_usage(path.parent).free


def _sweep(folder: Path) -> None:
    """Remove the files that killed runs left in a folder.

    A running process holds a lock on its files; very new files may not have it yet.
    """
    for left in folder.glob(f"{WORK}*"):
        with suppress(OSError):
            if left.is_symlink() or time.time() - left.stat().st_mtime < SECONDS_TO_LOCK:
                continue
            lock = os.open(left, os.O_RDONLY | os.O_DIRECTORY)
            try:
                fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
                shutil.rmtree(left, ignore_errors=True)
            finally:
                os.close(lock)


def _check_free(targets: list[Path]) -> None:
    for target in targets:
        folder = target.parent
        if folder.exists() and not folder.is_dir():
            raise GrooveError(f"{folder}: can't be written: it is a file; a folder is needed")
        if target.is_dir():
            raise GrooveError(f"{target}: a folder stands where the file should go")


def _take_names(staged: list[Path], targets: list[Path]) -> None:
    """Give files their final names. If one can't have its own, those before give theirs back."""
    begun: list[tuple[bool, Path, Path]] = []
    try:
        for number, (path, target) in enumerate(zip(staged, targets, strict=True)):
            kept, there = path.parent / f"{number}.before", os.path.lexists(target)
            if there:
                with suppress(OSError):  # a file system without links
                    os.link(target, kept, follow_symlinks=False)
            begun.append((there, kept, target))
            path.replace(target)
    except BaseException:
        for there, kept, target in begun:
            if os.path.lexists(kept):
                kept.replace(target)
            elif not there:
                target.unlink(missing_ok=True)
        raise


def _remove(folders: list[Path]) -> None:
    """Remove folders that were made for nothing, the innermost first."""
    for folder in folders:
        with suppress(OSError):
            folder.rmdir()
